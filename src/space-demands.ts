// What the rule lists ask for one usual adult that lives alone, with no box in view: which rules count, and which of them asks the most
// and the least in each direction. Which rule decides for an animal hangs on its box and is src/space.ts's to say.

import type { RoomySpecies, SpaceAsked, SpaceDimension, SpaceNeed } from './space.ts';
import { chosenRules, needOfAll, spaceNeeded } from './space.ts';
import type { RuleSet, SpaceRule } from './species.ts';

/** One rule, whether animals of the species are scored against it, and what it asks for one adult. */
export type Demand = { rule: SpaceRule; chosen: boolean; asked: SpaceAsked };

/** All rules of a species for one adult of `mm` (the upper end of the usual size), and what meets all of those that count. */
export type AdultDemands = { mm: number; demands: Demand[]; wanted: SpaceNeed | null };

/** What each rule of a species asks for one usual adult, and which rules count by the lists a keeper chose. */
export function adultDemands({ adultSize, space }: RoomySpecies, ruleSets: readonly RuleSet[]): AdultDemands {
  const { highMm: mm, measure } = adultSize;
  const asked = space.map((rule) => ({ rule, asked: spaceNeeded(rule, { mm, measure }, 1) }));
  const chosen = chosenRules(space, ruleSets);
  // As in scoring, common practice stands in where no chosen rule says anything.
  const isHeard = asked.some((one) => chosen.includes(one.rule) && one.asked.status === 'known');
  const practice = space.filter((rule) => rule.ruleSet === 'practice');
  const counting = isHeard || practice.length === 0 ? chosen : practice;
  const demands = asked.map((one) => ({ ...one, chosen: counting.includes(one.rule) }));
  return { mm, demands, wanted: needOfAll(needsOf(demands.filter((one) => one.chosen)).map(({ needed }) => needed)) };
}

/** The least and the most that rules ask in one direction: mm for length and height, m² for floor. `silent`: how many ask nothing there. */
export type DemandSpan = {
  dimension: SpaceDimension;
  least: { rule: SpaceRule; amount: number };
  most: { rule: SpaceRule; amount: number };
  silent: number;
};

/** How far rules lie apart in each direction that any of them asks for; of rules that ask the same the first stands for all. */
export function spansOf(demands: readonly Demand[]): DemandSpan[] {
  const known = needsOf(demands);
  return (['length', 'floor', 'height'] as const).flatMap((dimension) => {
    const amounts = known.flatMap(({ rule, needed }) => {
      const amount = amountOf(needed, dimension);
      return amount === null ? [] : [{ rule, amount }];
    });
    if (amounts.length === 0) return [];
    return [
      {
        dimension,
        least: amounts.reduce((least, one) => (one.amount < least.amount ? one : least)),
        most: amounts.reduce((most, one) => (one.amount > most.amount ? one : most)),
        silent: known.length - amounts.length,
      },
    ];
  });
}

/** What is needed in one direction (mm, or m² of floor); null where nothing is asked. */
export function amountOf(needed: SpaceNeed, dimension: SpaceDimension): number | null {
  if (dimension === 'length') return needed.lengthMm;
  if (dimension === 'height') return needed.heightMm;
  return needed.floorM2 === 0 ? null : needed.floorM2;
}

function needsOf(demands: readonly Demand[]): { rule: SpaceRule; needed: SpaceNeed }[] {
  return demands.flatMap(({ rule, asked }) => (asked.status === 'known' ? [{ rule, needed: asked.needed }] : []));
}
