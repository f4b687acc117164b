// What to measure or look up before money is spent, as lines with a link to the form where the answer goes.

import type { Collection } from '../../src/collection.ts';
import { checkQuestions, readingHints } from '../kind-words.ts';
import { betweenHint, orphanHint, thermostatHint } from '../measuring-words.ts';
import { paths } from '../paths.ts';
import { unknownSentence } from '../score-words.ts';
import type { MeasureFirst } from '../scores.ts';
import { listed } from '../words.ts';

/** One line of views/partials/measure-first.hbs. */
export type MeasureLine = { text: string; hint: string; critical: boolean; href: string; action: string };

/** The lines in their order; each names the enclosure and the animals that hang on it. */
export function measureLines(wanted: readonly MeasureFirst[], collection: Collection): MeasureLine[] {
  return wanted.map((one) => lineOf(one, collection));
}

function lineOf(one: MeasureFirst, collection: Collection): MeasureLine {
  const box = collection.enclosures.find((each) => each.id === one.enclosureId)!;
  const names = one.animalIds.map((id) => collection.animals.find((each) => each.id === id)?.name ?? '');
  const where = `${box.name} (${listed(names)})`;
  const critical = one.lifeCritical;
  switch (one.measure) {
    case 'reading':
      return {
        text: `${where}: ${unknownSentence(one.kind, one.cause)}`,
        hint: readingHints[one.kind],
        critical,
        href: paths.enclosures.readings.newOf(box.id, one.kind),
        action: 'Enter this reading',
      };
    case 'check':
      return {
        text: `${where}: ${checkQuestions[one.check].question}`,
        hint: checkQuestions[one.check].why,
        critical,
        href: paths.enclosures.checks(box.id),
        action: 'Answer this',
      };
    case 'heater':
      return {
        text: `${where}: nobody has looked yet what warms it and whether a thermostat holds it.`,
        hint: 'Follow its cable: a thermostat is a small box with a dial or a display, and a thin cable with a probe at its end. Enter the heater and the thermostat as what they are, then remove the one that nobody had looked at.',
        critical,
        href: paths.enclosures.fittings.new(box.id),
        action: 'Enter what it is',
      };
    case 'thermostat': {
      const asked = collection.fittings.find(
        (each) =>
          each.enclosureId === box.id &&
          each.kind === 'unknown-thermostat' &&
          each.retiredOn === null &&
          collection.fittings.some((heater) => heater.id === each.regulates && heater.name === one.heater),
      );
      return {
        text: `${where}: nobody has looked yet whether a thermostat holds “${one.heater}”.`,
        hint: thermostatHint,
        critical,
        href: asked === undefined ? paths.enclosures.show(box.id) : paths.enclosures.fittings.look(box.id, asked.id),
        action: 'Say what you found',
      };
    }
    case 'holds':
      return {
        text: `${where}: “${one.thermostat}” held “${one.heater}”, which is out of use. What does it hold now?`,
        hint: orphanHint,
        critical,
        href: paths.enclosures.fittings.edit(box.id, one.fittingId),
        action: 'Say what it holds',
      };
    case 'length':
      return {
        text: `${where}: the length was never measured.`,
        hint: 'Until then space is judged for the usual adult size.',
        critical,
        href: paths.animals.edit(one.animalIds[0]!),
        action: 'Enter the length',
      };
    case 'sexes': {
      const unsexed = collection.animals.find((each) => each.enclosureId === box.id && each.sex === 'unknown');
      return {
        text: `${where}: it is not known how many of them are males.`,
        hint: 'Grown males of this species fight. Where the sex does not show, a reptile vet can tell it.',
        critical,
        href: paths.animals.edit(unsexed?.id ?? one.animalIds[0]!),
        action: 'Enter the sex',
      };
    }
    case 'between': {
      const lamp = collection.fittings.find(
        (each) => each.enclosureId === box.id && each.name === one.lamp && each.retiredOn === null,
      );
      return {
        text: `${where}: nobody has looked yet what is between “${one.lamp}” and the animal.`,
        hint: betweenHint,
        critical,
        href: lamp === undefined ? paths.enclosures.show(box.id) : paths.enclosures.fittings.edit(box.id, lamp.id),
        action: 'Say what is between',
      };
    }
    case 'uv-hours': {
      const lamp = collection.fittings.find(
        (each) => each.enclosureId === box.id && each.kind.startsWith('uv-') && each.retiredOn === null,
      );
      return {
        text: `${where}: how many hours a day the UV-B lamp is on is not entered.`,
        hint: 'The timer tells.',
        critical,
        href: lamp === undefined ? paths.enclosures.show(box.id) : paths.enclosures.fittings.edit(box.id, lamp.id),
        action: 'Enter the hours',
      };
    }
  }
}
