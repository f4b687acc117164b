// Which needs are severely short, what would end each, and where that stands: on the list, proposed and not on it, or refused. A remedy ends
// a shortfall when fitting it on paper does; what a plan does with it is not asked here.

import type { Collection } from './collection.ts';
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

/** Every severe shortfall of some scored animals, in their order; proposals must be those that are open. */
export function severeShortfalls<Listed extends Upgrade>(
  scored: readonly { score: AnimalScore }[],
  scoring: Scoring,
  upgrades: readonly Listed[],
  proposals: readonly Proposal[],
): SevereShortfall<Listed>[] {
  return scored.flatMap(({ score }) => {
    const short = score.needs.filter((one) => one.severe);
    const animal = scoring.collection.animals.find((one) => one.id === score.animalId);
    if (short.length === 0 || animal === undefined || animal.enclosureId === null) return [];
    const { enclosureId } = animal;
    const around: Collection = aroundEnclosures(scoring.collection, [enclosureId]);
    const severeWith = (need: Need, fitted: readonly Upgrade[]): number => {
      const outcome = needScorer(animal, { ...scoring, collection: applyUpgrades(around, fitted, scoring.on) })?.(need);
      return outcome?.status === 'scored' ? severeReasons(outcome.score).length : 0;
    };
    const here = upgrades.filter((one) => enclosuresOf(one, around).includes(enclosureId));
    return short.map((need): SevereShortfall<Listed> => {
      const touches = (one: Upgrade) => needsTouched(one, around).includes(need.need);
      const now = severeReasons(need).length;
      const listed = here.filter(
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
        refused: here.filter((one) => one.status === 'refused' && mends(one)),
      };
    });
  });
}

function severeReasons({ reasons }: NeedScore): Reason[] {
  return reasons.filter((one) => one.severe).map((one) => one.reason);
}
