// Which needs are severely short, what would end each, and where that stands: on the list, proposed and not on it, or refused. A remedy ends
// a shortfall when fitting it on paper does; what a plan does with it is not asked here.

import { aroundEnclosures } from './collection.ts';
import type { Reason } from './judging.ts';
import { groupsOf } from './ledger-problem.ts';
import type { Proposal } from './proposals.ts';
import { coolsAtOnce, onPaper } from './proposals.ts';
import type { AnimalScore, NeedScore, Scoring } from './score.ts';
import { needScorer } from './score.ts';
import type { Need } from './species.ts';
import type { Upgrade } from './upgrades.ts';
import { applyUpgrades, enclosuresOf, needsTouched } from './upgrades.ts';

/**
 * A need of an animal that is severely short. `reasons` are those that make it severe; `atOnce` is true where one of them asks for something
 * that costs nothing and cannot wait. `listed`, `proposed` and `refused` mend some or all of it: proposals and refused upgrades only where
 * what is listed leaves something to mend. `covered` tells that all of what is listed together ends it.
 */
export type SevereShortfall<Listed extends Upgrade = Upgrade> = {
  animalId: string;
  enclosureId: string;
  need: NeedScore;
  reasons: Reason[];
  atOnce: boolean;
  covered: boolean;
  listed: Listed[];
  proposed: Proposal[];
  refused: Listed[];
};

// What is put right by a hand and not by a purchase, and harms as long as it is not.
const DONE_BY_HAND: ReadonlySet<Reason['why']> = new Set([
  'heater-unregulated',
  'rock-heater',
  'uv-above',
  'deadly-heat',
]);

/**
 * One enclosure with who in it is severely short: `scoring` holds nothing but what is there, `upgrades` and `proposals` are those that change
 * something there, in their order.
 */
export type ShortPlace<Listed extends Upgrade = Upgrade> = {
  enclosureId: string;
  scores: AnimalScore[];
  scoring: Scoring;
  upgrades: Listed[];
  proposals: Proposal[];
};

/**
 * Every severe shortfall of some scored animals, in their order; proposals must be those that are open. `found` gives what `shortfallsIn`
 * gives, perhaps from before: of what it is handed, all that is found of one enclosure is made and nothing else.
 */
export function severeShortfalls<Listed extends Upgrade>(
  scored: readonly { score: AnimalScore }[],
  scoring: Scoring,
  upgrades: readonly Listed[],
  proposals: readonly Proposal[],
  found: (place: ShortPlace<Listed>) => SevereShortfall<Listed>[] = shortfallsIn,
): SevereShortfall<Listed>[] {
  const { collection } = scoring;
  const places = new Map<string, ShortPlace<Listed>>();
  const homes = new Map(collection.animals.map((one) => [one.id, one.enclosureId]));
  for (const { score } of scored) {
    const enclosureId = homes.get(score.animalId) ?? null;
    if (enclosureId === null || !score.needs.some((one) => one.severe)) continue;
    const place = places.get(enclosureId);
    if (place !== undefined) place.scores.push(score);
    else {
      const around = aroundEnclosures(collection, [enclosureId]);
      places.set(enclosureId, {
        enclosureId,
        scores: [score],
        scoring: { ...scoring, collection: around },
        upgrades: [],
        proposals: [],
      });
    }
  }
  // What changes nothing in an enclosure mends nothing there.
  for (const one of upgrades) for (const id of enclosuresOf(one, collection)) places.get(id)?.upgrades.push(one);
  for (const one of proposals)
    for (const id of enclosuresOf(onPaper(one), collection)) places.get(id)?.proposals.push(one);
  const all = [...places.values()].flatMap(found);
  const rank = new Map(scored.map(({ score }, index) => [score.animalId, index]));
  return all.sort((a, b) => rank.get(a.animalId)! - rank.get(b.animalId)!);
}

/** The severe shortfalls of one enclosure, in the order of its scores. */
export function shortfallsIn<Listed extends Upgrade>({
  enclosureId,
  scores,
  scoring,
  upgrades,
  proposals,
}: ShortPlace<Listed>): SevereShortfall<Listed>[] {
  const around = scoring.collection;
  return scores.flatMap((score) => {
    const animal = around.animals.find((one) => one.id === score.animalId)!;
    const severeWith = (need: Need, fitted: readonly Upgrade[]): number => {
      const outcome = needScorer(animal, { ...scoring, collection: applyUpgrades(around, fitted, scoring.on) })?.(need);
      return outcome?.status === 'scored' ? severeReasons(outcome.score).length : 0;
    };
    return score.needs
      .filter((one) => one.severe)
      .map((need): SevereShortfall<Listed> => {
        const touches = (one: Upgrade) => needsTouched(one, around).includes(need.need);
        const now = severeReasons(need).length;
        const listed = upgrades.filter(
          (one) =>
            (one.status === 'wanted' || one.status === 'ordered') && touches(one) && severeWith(need.need, [one]) < now,
        );
        // Of what excludes one another the first counts.
        const groups = new Set<string>();
        const together = listed.filter((one) => {
          const own = groupsOf(one);
          if (own.some((group) => groups.has(group))) return false;
          for (const group of own) groups.add(group);
          return true;
        });
        const left = together.length === 0 ? now : severeWith(need.need, together);
        const mends = (one: Upgrade) => left > 0 && touches(one) && severeWith(need.need, [...together, one]) < left;
        const open = proposals.filter((one) => !one.lowers.some(({ severe }) => severe) && mends(onPaper(one)));
        return {
          animalId: animal.id,
          enclosureId,
          need,
          reasons: severeReasons(need),
          atOnce:
            need.reasons.some(({ reason, severe }) => severe && DONE_BY_HAND.has(reason.why)) ||
            listed.some((one) => coolsAtOnce(one.proposalKey)) ||
            open.some((one) => one.isUrgent),
          covered: left === 0,
          listed,
          proposed: open,
          refused: upgrades.filter((one) => one.status === 'refused' && mends(one)),
        };
      });
  });
}

function severeReasons({ reasons }: NeedScore): Reason[] {
  return reasons.filter((one) => one.severe).map((one) => one.reason);
}
