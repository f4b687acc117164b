// What mends a box that is too small: a larger one that suits the species and goes into the space there is, bought or made, and what is
// fitted and expected again when everything moves there.

import { fitHeat } from './climate-remedies.ts';
import type { ReadingKind } from './collection.ts';
import { influenceOf, UNKNOWN_BUILD } from './collection.ts';
import { knownOf } from './evidence.ts';
import { heatKit } from './heat-kits.ts';
import type { Reason } from './judging.ts';
import type { BoxToMake } from './larger-boxes.ts';
import { largerBoxes } from './larger-boxes.ts';
import type { Part } from './parts.ts';
import type { Draft, NoProposal, ProposedAct, Remedy, Situation } from './remedies.ts';
import { isDraft, kit, refuse } from './remedies.ts';
import { extentOf, leastRatio, spaceNeeded } from './space.ts';
import type { Need } from './species.ts';
import { projectLength } from './species.ts';
import type { Change } from './upgrades.ts';
import { fittedOnDay } from './upgrades.ts';
import { coldestMonthOf } from './warmth-year.ts';

/** Larger boxes, or that the space lacks for each. */
export function largerBox(at: Situation, need: Need, because: Reason & { why: 'space-short' }): Remedy[] {
  const { enclosure, occupants } = at.setup;
  const animal = occupants.find((one) => one.id === at.animalId)!;
  const adult =
    animal.lengthMm === null ? at.species.adultSize.highMm : projectLength(at.species, animal.lengthMm, 600).high;
  const asked = spaceNeeded(because.rule, { mm: adult, measure: at.species.adultSize.measure }, occupants.length);
  if (asked.status !== 'known') return [];
  const { bought, homeMade, lack } = largerBoxes(at.world.parts, enclosure, at.species, asked.needed);
  if (bought.length === 0 && homeMade === null && lack.length > 0)
    return refuse(need, { why: 'space-lacks', shortages: lack });
  // A mat that stays behind with the old box is bought again with the new one.
  const matStays = at.active.some((one) => one.kind === 'heat-mat' && one.whenBoxReplaced === 'stays-behind');
  const found = matStays ? fitHeat(at, need, because, 'warm-hide-floor') : [];
  const heating = found.filter(isDraft);
  const refused = found.filter((one) => !isDraft(one));
  const boxed = (act: ProposedAct, detail: string, parts: Part[], box: BoxToMake): Remedy[] => {
    const moved = heating.flatMap((kit) => kit.changes);
    const air = airIn(at, need, because, box, moved);
    // A box that nothing of the list can warm is none for this room.
    if (air.status === 'cannot') return [{ need, no: air.no }];
    const kits = [...heating, ...air.kits];
    return [
      {
        act,
        detail,
        need,
        because,
        parts: [...parts, ...kits.flatMap((kit) => kit.parts)],
        changes: [
          { change: 'replace-box', enclosureId: at.box, ...box },
          ...kits.flatMap((kit) => kit.changes),
          ...predictionsInNewBox(at, air.unsure),
        ],
      },
    ];
  };
  const offers = bought.flatMap((part) => {
    const { lengthMm, depthMm, heightMm, material, top } = part.enclosure!;
    const { short, ratio } = leastRatio(asked.needed, extentOf(part.enclosure!), at.species.habit === 'climbing');
    const step = ratio < 1 ? { short, ratio, rule: because.rule.title } : null;
    const act: ProposedAct = { act: 'box', part: part.name, lengthMm, depthMm, heightMm, step };
    return boxed(act, `box ${part.id}`, [part], { lengthMm, depthMm, heightMm, material, top });
  });
  if (homeMade === null) return [...refused, ...offers];
  const own = boxed({ act: 'home-made-box', ...homeMade }, 'box home-made', [], homeMade);
  return [...refused, ...offers, ...own.map((one) => (isDraft(one) ? { ...one, unpriced: true as const } : one))];
}

// Whether the air of a new box can be held in the coldest month of its room with what moves there and comes with it: a larger one loses more.
// Where it cannot, a heater is added that can, or the box is none; where nobody may say, how warm its air becomes is only known by reading it.
function airIn(
  at: Situation,
  need: Need,
  because: Reason,
  box: BoxToMake,
  coming: readonly Change[],
): { status: 'holds'; kits: Draft[]; unsure: ReadonlySet<ReadingKind> } | { status: 'cannot'; no: NoProposal } {
  const asBefore = { status: 'holds' as const, kits: [], unsure: new Set<ReadingKind>() };
  const { library, on } = at.world;
  const { enclosure } = at.setup;
  const build = { ...UNKNOWN_BUILD, roomId: enclosure.build.roomId };
  const setup = {
    ...at.setup,
    enclosure: { ...enclosure, ...box, build },
    fittings: [
      ...at.active.filter((one) => one.whenBoxReplaced === 'moves'),
      ...coming.flatMap((one) => (one.change === 'fit' ? [fittedOnDay(one.fitting, one.fitting.key, at.box, on)] : [])),
    ],
  };
  const { room, species, targets, place } = at;
  const coldest = coldestMonthOf({ setup, room, library, on });
  if (coldest.status === 'unknown' || coldest.mostCelsius >= coldest.wantedCelsius) return asBefore;
  const kind = targets.temperatures.find((one) => one.kind === 'night-air' || one.kind === 'warm-air')?.kind;
  const found =
    kind === 'night-air' || kind === 'warm-air'
      ? heatKit({ place, setup, species, targets, room, library, on }, kind, false)
      : null;
  if (found?.status === 'kit') {
    const held = found.kit.changes.flatMap((one) =>
      one.change === 'fit' ? one.fitting.expects.map(({ reading }) => reading) : [],
    );
    return { ...asBefore, kits: [kit(need, because, found.detail, found.kit)], unsure: new Set(held) };
  }
  if (found?.why === 'heater-at-limit') {
    const { status: _, ...no } = found;
    return { status: 'cannot', no };
  }
  return { ...asBefore, unsure: AIR_READINGS };
}

const AIR_READINGS: ReadonlySet<ReadingKind> = new Set(['warm-air', 'cool-end-air', 'night-air']);

// What is read in the old box and can be set again in the new one with what moves there is expected again, as an estimate.
function predictionsInNewBox(at: Situation, unsure: ReadonlySet<ReadingKind>): Change[] {
  const kinds: ReadingKind[] = [
    'hot-spot-surface',
    'warm-hide-floor',
    'warm-air',
    'cool-end-air',
    'night-air',
    'humidity-day',
    'humidity-night',
    'uvi-basking',
    'uvi-lowest',
  ];
  return kinds.flatMap((reading): Change[] => {
    if (unsure.has(reading)) return [];
    const known = knownOf(at.setup, reading, at.world.on, at.world.on);
    if (known.status === 'unknown' || known.from === 'expected') return [];
    const causes = at.active.filter((one) => influenceOf(one, at.active).includes(reading));
    const lost = causes.length > 0 && causes.every((one) => one.whenBoxReplaced === 'stays-behind');
    return lost ? [] : [{ change: 'predict', enclosureId: at.box, reading, value: known.value }];
  });
}
