// Cautions: what is said of mains, water, heat and light where a thing is decided, and what to see to at once when one broke.

import type { FittingKind } from '../src/collection.ts';

/** Cautions, shown where the thing they are about is decided. */
export const cautions = {
  mainsAndWater:
    'Mains electricity near water kills. Use equipment rated for damp places, drip loops and a residual-current device, and ask a qualified electrician about anything fixed.',
  burns:
    'Reptiles and amphibians do not move away from heat that burns them. Every heater takes a thermostat of the right type, and a guard or a place out of reach.',
  uvAndEyes:
    'UV-B lamps injure eyes and skin at short distance, yours too. Do not look into them, and give the animal a place without UV.',
  rockHeater:
    'A heated rock burns the belly of the animal that lies on it. The ledger counts it as a fault of safety and never proposes one.',
  unknowable: 'The ledger cannot tell whether a set-up is without danger; it only knows what was entered.',
  vet: 'The score judges what the enclosure offers, never how the animal feels. An animal that eats less, loses weight or looks unwell needs a reptile vet, whatever the score.',
} as const;

/** What to see to at once when a thing of a kind broke, the most urgent first (common practice, no source, but where it says otherwise). */
export function breakdownCautions(kind: FittingKind, isPowered: boolean): string[] {
  const repair =
    'Do not open or repair anything that runs on mains power. A qualified electrician judges sockets, wiring and anything fixed.';
  const vet = 'An animal that was cold or hot for hours, or seems unwell, needs a reptile vet.';
  switch (kind) {
    case 'basking-lamp':
    case 'heat-mat':
    case 'ceramic-heater':
    case 'radiant-panel':
    case 'rock-heater':
      return [
        'Unplug it. Then measure the warm and the cool end now, and again at night.',
        `Bring the room or the animal to a bearable temperature by other means until a new one works. ${vet}`,
        repair,
      ];
    case 'water-heater':
      return [
        'Unplug it before you reach into the water. Look for cracked glass, and measure the water now.',
        `Let the temperature of the water change slowly, by the room. ${vet}`,
        repair,
      ];
    case 'thermostat':
      return [
        'Unplug the heater that it regulates now: without a thermostat it may overheat, burn or start a fire, or stay cold.',
        `Measure the warm and the cool end now. ${vet}`,
        repair,
      ];
    case 'guard':
      return ['Switch off what it guards, or put that out of reach, until a guard is in its place again.'];
    case 'uv-tube':
    case 'uv-compact':
      return [
        'Nothing is urgent about missing UV-B for some days. Unplug the lamp before you touch it.',
        'If the glass of a fluorescent tube broke, it holds a little mercury: take the animal out, air the room, and gather the pieces without a vacuum cleaner (from memory).',
        repair,
      ];
    case 'filter':
      return [
        'Unplug it before you reach into the water. Test the water today, and change a part of it each day until a filter runs again.',
        'Feed less and take out what is left of the food. A filter that stood still for hours is rinsed before it runs again.',
        repair,
      ];
    case 'mister':
      return ['Mist by hand, and look at the humidity by day and at night.', repair];
    case 'timer':
      return ['Switch the lamps by hand, and keep the nights dark.', repair];
    default:
      return isPowered ? ['Unplug it.', repair] : [];
  }
}
