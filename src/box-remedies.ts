// What mends a box that is too small: a larger one that suits the species and goes into the space there is, bought or made, and what is
// fitted and expected again when everything moves there.

import { fitHeat } from './climate-remedies.ts';
import type { ReadingKind } from './collection.ts';
import { influenceOf } from './collection.ts';
import { knownOf } from './evidence.ts';
import type { Reason } from './judging.ts';
import type { BoxToMake } from './larger-boxes.ts';
import { largerBoxes } from './larger-boxes.ts';
import type { Part } from './parts.ts';
import type { Draft, ProposedAct, Remedy, Situation } from './remedies.ts';
import { isDraft, refuse } from './remedies.ts';
import { spaceNeeded } from './space.ts';
import type { Need } from './species.ts';
import { projectLength } from './species.ts';
import type { Change } from './upgrades.ts';
import { ANSWERED_ANEW } from './upgrades.ts';

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
  const boxed = (act: ProposedAct, detail: string, parts: Part[], box: BoxToMake): Draft => ({
    act,
    detail,
    need,
    because,
    parts: [...parts, ...heating.flatMap((kit) => kit.parts)],
    changes: [
      { change: 'replace-box', enclosureId: at.box, ...box },
      ...heating.flatMap((kit) => kit.changes),
      ...answersInNewBox(at),
      ...predictionsInNewBox(at),
    ],
  });
  const offers = bought.map((part) => {
    const { lengthMm, depthMm, heightMm, material, top } = part.enclosure!;
    const act: ProposedAct = { act: 'box', part: part.name, lengthMm, depthMm, heightMm };
    return boxed(act, `box ${part.id}`, [part], { lengthMm, depthMm, heightMm, material, top });
  });
  if (homeMade === null) return [...refused, ...offers];
  const own = boxed({ act: 'home-made-box', ...homeMade }, 'box home-made', [], homeMade);
  return [...refused, ...offers, { ...own, unpriced: true }];
}

// The fitting sheet asks for these once the box stands; marking it fitted says they were seen to.
function answersInNewBox(at: Situation): Change[] {
  return at.setup.answers
    .filter((one) => ANSWERED_ANEW.has(one.check) && one.answer === 'yes')
    .map((one): Change => ({ change: 'answer', enclosureId: at.box, check: one.check }));
}

// What is read in the old box and can be set again in the new one with what moves there is expected again, as an estimate.
function predictionsInNewBox(at: Situation): Change[] {
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
    const known = knownOf(at.setup, reading, at.world.on, at.world.on);
    if (known.status === 'unknown' || known.from === 'expected') return [];
    const causes = at.active.filter((one) => influenceOf(one, at.active).includes(reading));
    const lost = causes.length > 0 && causes.every((one) => one.whenBoxReplaced === 'stays-behind');
    return lost ? [] : [{ change: 'predict', enclosureId: at.box, reading, value: known.value }];
  });
}
