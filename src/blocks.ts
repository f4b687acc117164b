// A planning problem cut into blocks, one an animal with everything its purchases need, and the best schedule of a block at given
// prices of money, found exactly by dynamic programming over the sets that can be in service. What two blocks share is copied into both
// and tied by links; a price on each link takes the place of the tie. Every simplification here makes a block look better than it
// is, never worse, so that the blocks' best values always bound the whole plan.

import {
  addCashFlow,
  addScoresByMonth,
  NEVER,
  type PreparedProblem,
  retirementMonth,
  scoreRoom,
  serviceStart,
  slackOf,
} from './evaluate.ts';

/** The price of one minor unit paid in each month, of one minor unit of carrying cost at the end, and of one severe need in one month. */
export type Prices = { money: Float64Array; tail: number; links: Float64Array };

/** What a schedule is worth: points by weighted score, and what one severe need-month counts against it. */
export type Worth = { weighted: number; severe: number };

/** A row that ties blocks together: `lower` <= sum of coefficient x (member in service by `month`) <= `upper`. */
type Link = { lower: number; upper: number; terms: readonly LinkTerm[] };
type LinkTerm = { block: number; member: number; month: number; coefficient: number };

/** One schedule of one block: the month in which each member enters service (NEVER: not at all) and what that brings and costs. */
export type Schedule = {
  block: number;
  starts: Int32Array;
  severe: number;
  weighted: number;
  mean: number;
  /** What the block has paid by the end of each month, in minor units; what only a copy holds is paid by its home. */
  paid: Float64Array;
  /** What the block adds to the carrying cost after the plan. */
  tail: number;
};

/** A problem in blocks. */
export type BlockCut = {
  links: readonly Link[];
  /** Members of each block as indexes of purchases. */
  members: readonly Int32Array[];
  /** The schedule of a block that a whole plan holds; null when the plan leaves the sets that the block knows. */
  scheduleIn(block: number, bought: Int32Array): Schedule;
  /** The best schedule of a block at these prices and what it is worth there, never less than any schedule of the block is. */
  best(block: number, worth: Worth, prices: Prices): { schedule: Schedule; value: number };
  /**
   * For each member of a block, and each month in which it may enter service (the number of months: never), the most that any
   * schedule of the block with it is worth at these prices: `[member * (months + 1) + month]`. What no schedule worth `least` does is
   * forgotten until `remember`, so that later work takes less time and bounds hold for such schedules only.
   */
  reach(block: number, worth: Worth, prices: Prices, least: number): Float64Array;
  /** Takes back all that was forgotten. */
  remember(): void;
  /**
   * What is ruled out, for the caller to change: 1 where a purchase may not enter service in a month, or may not stay out of service
   * (the number of months): `[index * (months + 1) + month]`.
   */
  excluded: Uint8Array;
  /** Whether a schedule holds nothing that is ruled out. */
  holds(schedule: Schedule): boolean;
};

/** The most sets in service that one block may have; beyond it the problem is not cut. */
const MOST_SETS = 40_000;

/** Cuts a problem into blocks; null when a block would be too large, or a purchase may be needed after the plan's end. */
export function cutIntoBlocks(prepared: PreparedProblem): BlockCut | null {
  const { months, count } = prepared;
  const isFree = (index: number) => !prepared.owned[index] && prepared.fixedMonth[index]! < 0;
  const fixedStarts = Int32Array.from(prepared.fixedMonth, (month, index) => serviceStart(prepared, index, month));
  for (let index = 0; index < count; index++) {
    if (prepared.fixedMonth[index]! >= 0 && fixedStarts[index]! >= months) return null;
  }

  const groups = gatherMembers(prepared, isFree);
  const most = mostMoney(prepared);
  const excluded = new Uint8Array(count * (months + 1));
  const homeOf = new Int32Array(count).fill(-1);
  const blocks: Block[] = [];
  for (const { members, animals } of groups) {
    const isHome = members.map((index) => {
      if (homeOf[index]! >= 0) return false;
      homeOf[index] = blocks.length;
      return true;
    });
    const block = makeBlock(prepared, blocks.length, members, isHome, animals, fixedStarts, most, excluded);
    if (block === null) return null;
    blocks.push(block);
  }
  // What something fixed or owned costs after it is retired belongs to the block in which its first free retirer is at home.
  for (let index = 0; index < count; index++) {
    if (isFree(index)) continue;
    const retirer = [...prepared.retiredBy[index]!].find(isFree);
    if (retirer !== undefined) blocks[homeOf[retirer]!]!.retirable.push(index);
  }
  for (const block of blocks) block.finish();

  const memberIn = (block: number, index: number) => blocks[block]!.members.indexOf(index);
  const links: Link[] = [];
  blocks.forEach((block, at) => {
    block.members.forEach((index, member) => {
      const home = homeOf[index]!;
      if (home === at) return;
      for (let month = block.firstStart[member]!; month < months; month++) {
        links.push({
          lower: 0,
          upper: 0,
          terms: [
            { block: home, member: memberIn(home, index), month, coefficient: 1 },
            { block: at, member, month, coefficient: -1 },
          ],
        });
      }
    });
  });
  for (let group = 0; group < prepared.groupCount; group++) {
    const inGroup = Array.from({ length: count }, (_, index) => index).filter((one) =>
      prepared.groups[one]!.includes(group),
    );
    const free = inGroup.filter(isFree);
    const homes = new Set(free.map((one) => homeOf[one]!));
    const taken = inGroup.length > free.length ? 1 : 0;
    if (free.length === 0 || (homes.size === 1 && taken === 0)) continue;
    links.push({
      lower: Number.NEGATIVE_INFINITY,
      upper: 1 - taken,
      terms: free.map((one) => ({
        block: homeOf[one]!,
        member: memberIn(homeOf[one]!, one),
        month: months - 1,
        coefficient: 1,
      })),
    });
  }
  for (let index = 0; index < count; index++) {
    if (prepared.fixedMonth[index]! < 0) continue;
    const start = fixedStarts[index]!;
    for (const alternatives of prepared.requires[index]!) {
      if (alternatives.some((one) => fixedStarts[one]! <= start)) continue;
      const free = [...alternatives].filter(isFree);
      links.push({
        lower: 1,
        upper: Number.POSITIVE_INFINITY,
        terms: free.map((one) => ({
          block: homeOf[one]!,
          member: memberIn(homeOf[one]!, one),
          month: start,
          coefficient: 1,
        })),
      });
    }
  }
  const termsOf: (LinkTerm & { link: number })[][] = blocks.map(() => []);
  links.forEach(({ terms }, link) => {
    for (const term of terms) termsOf[term.block]!.push({ ...term, link });
  });

  return {
    links,
    members: blocks.map((block) => Int32Array.from(block.members)),
    scheduleIn: (block, bought) =>
      blocks[block]!.schedule(
        Int32Array.from(blocks[block]!.members, (index) => serviceStart(prepared, index, bought[index]!)),
      ),
    best: (block, worth, prices) => blocks[block]!.best(worth, prices, termsOf[block]!),
    reach: (block, worth, prices, least) => blocks[block]!.reach(worth, prices, termsOf[block]!, least),
    remember() {
      for (const block of blocks) block.remember();
    },
    excluded,
    holds: ({ block, starts }) =>
      starts.every((start, member) => {
        const index = blocks[block]!.members[member]!;
        return excluded[index * (months + 1) + Math.min(start, months)] === 0;
      }),
  };
}

/**
 * Which purchases and animals make up each block: an animal with all that concerns it, all that those require, all that those
 * retire and all that retires those; what concerns no animal is gathered in blocks of its own.
 */
function gatherMembers(
  prepared: PreparedProblem,
  isFree: (index: number) => boolean,
): { members: number[]; animals: number[] }[] {
  const close = (first: Iterable<number>): number[] => {
    const found = new Set<number>();
    const add = (index: number): void => {
      if (found.has(index)) return;
      if (isFree(index)) found.add(index);
      for (const other of prepared.retires[index]!) {
        if (isFree(other)) add(other);
        // All that can retire one thing must be in one block, or its cost would be ended twice.
        for (const rival of prepared.retiredBy[other]!) if (isFree(rival)) add(rival);
      }
      if (!isFree(index)) return;
      for (const rival of prepared.retiredBy[index]!) if (isFree(rival)) add(rival);
      for (const alternatives of prepared.requires[index]!)
        for (const other of alternatives) if (isFree(other)) add(other);
    };
    for (const index of first) if (isFree(index)) add(index);
    return [...found].sort((a, b) => a - b);
  };
  const groups = prepared.animals.map((animal, index) => ({ members: close(animal.concerns), animals: [index] }));
  const placed = new Set(groups.flatMap((group) => group.members));
  for (let index = 0; index < prepared.count; index++) {
    if (!isFree(index) || placed.has(index)) continue;
    const members = close([index]);
    for (const member of members) placed.add(member);
    groups.push({ members, animals: [] });
  }
  return groups;
}

type Block = {
  members: readonly number[];
  /** Free, fixed and owned things whose costs another purchase of this block can end. */
  retirable: number[];
  firstStart: Int32Array;
  finish(): void;
  schedule(starts: Int32Array): Schedule;
  best(worth: Worth, prices: Prices, terms: Terms): { schedule: Schedule; value: number };
  reach(worth: Worth, prices: Prices, terms: Terms, least: number): Float64Array;
  remember(): void;
};

type Terms = readonly (LinkTerm & { link: number })[];

/** One block; null when it has too many sets. */
function makeBlock(
  prepared: PreparedProblem,
  number: number,
  members: readonly number[],
  isHome: readonly boolean[],
  animals: readonly number[],
  fixedStarts: Int32Array,
  most: Float64Array,
  excluded: Uint8Array,
): Block | null {
  const { months } = prepared;
  const size = members.length;
  if (size > 30) return null;
  const bitOf = new Map(members.map((index, member) => [index, 1 << member]));
  const sets = closedSets(prepared, members, bitOf, fixedStarts);
  if (sets === null) return null;
  const { masks, steps } = sets;
  const setCount = masks.length;

  const firstStart = Int32Array.from(members, (index) => {
    let first = prepared.earliest[index]! + prepared.lead[index]!;
    for (const alternatives of prepared.requires[index]!) {
      if ([...alternatives].some((other) => bitOf.has(other))) continue;
      first = Math.max(first, Math.min(...Array.from(alternatives, (other) => fixedStarts[other]!)));
    }
    return Math.max(0, Math.min(first, months));
  });

  // Points and severe needs of each set in each month, as if the set had always been in service.
  const weighted = new Float64Array(setCount * months);
  const severe = new Float64Array(setCount * months);
  const mean = new Float64Array(setCount * months);
  const room = scoreRoom(prepared);
  const starts = Int32Array.from(fixedStarts);
  const sums = new Float64Array(3 * months);
  for (let set = 0; set < setCount; set++) {
    members.forEach((index, member) => {
      starts[index] = (masks[set]! & (1 << member)) === 0 ? NEVER : 0;
    });
    sums.fill(0);
    for (const animal of animals) addScoresByMonth(prepared, prepared.animals[animal]!, starts, room, sums);
    for (let t = 0; t < months; t++) {
      severe[t * setCount + set] = sums[3 * t]!;
      weighted[t * setCount + set] = sums[3 * t + 1]!;
      mean[t * setCount + set] = sums[3 * t + 2]!;
    }
  }

  const retirable: number[] = [];
  // For each step of the list: the members it adds with their full cost, those it adds retired already, and whose costs it ends.
  let slotStarts = new Int32Array(0);
  let slots = new Int32Array(0);

  function finish(): void {
    members.forEach((index, member) => {
      if (isHome[member] && [...prepared.retiredBy[index]!].some((other) => bitOf.has(other))) retirable.push(index);
    });
    const retirers = retirable.map((index) =>
      [...prepared.retiredBy[index]!].reduce((mask, other) => mask | (bitOf.get(other) ?? 0), 0),
    );
    const list: number[] = [];
    slotStarts = new Int32Array(steps.length + 1);
    steps.forEach(({ from, to }, step) => {
      const before = masks[from]!;
      const after = masks[to]!;
      for (let member = 0; member < size; member++) {
        if ((after & ~before & (1 << member)) === 0) continue;
        const at = retirable.indexOf(members[member]!);
        list.push(at >= 0 && (after & retirers[at]!) !== 0 ? size + member : member);
      }
      retirable.forEach((index, k) => {
        const ends = (before & retirers[k]!) === 0 && (after & retirers[k]!) !== 0;
        const isThere = !bitOf.has(index) || (before & bitOf.get(index)!) !== 0;
        if (ends && isThere) list.push(2 * size + k);
      });
      slotStarts[step + 1] = list.length;
    });
    slots = Int32Array.from(list);
  }

  const payableFrom = Int32Array.from(masks, (mask) => firstPayableMonth(prepared, members, mask, most));
  const fixedRetirement = members.map((index) => firstRetirement(index));
  const stepFrom = Int32Array.from(steps, ({ from }) => from);
  const stepTo = Int32Array.from(steps, ({ to }) => to);
  // The steps that may be taken in each month, and 1 where a month may end with a set in service.
  let live: Int32Array[] = [];
  const ends = new Uint8Array(setCount * months);
  function remember(): void {
    ends.fill(1);
    live = Array.from({ length: months }, (_, t) =>
      Int32Array.from(stepTo.keys()).filter((step) => payableFrom[stepTo[step]!]! <= t),
    );
  }
  remember();
  const ahead = new Float64Array(setCount * (months + 1));
  const cameBy = new Int32Array(setCount * months);
  const flow = new Float64Array(months);

  /** Running costs and renewals of a thing in service from `start` until `end`, in months inside the plan, at prices of money. */
  function keeping(index: number, start: number, end: number, money: Float64Array, moneyAfter: Float64Array): number {
    const first = Math.max(0, start);
    if (first >= end) return 0;
    let sum = prepared.monthlyCost[index]! * (moneyAfter[first]! - moneyAfter[end]!);
    const life = prepared.life[index]!;
    if (life > 0)
      for (let t = start + life; t < end; t += life) if (t >= 0) sum += prepared.renewal[index]! * money[t]!;
    return sum;
  }

  function costsOf(prices: Prices, terms: Terms): Float64Array {
    const { money } = prices;
    const width = 2 * size + retirable.length;
    const costs = new Float64Array(width * months).fill(Number.POSITIVE_INFINITY);
    const moneyAfter = new Float64Array(months + 1);
    for (let t = months - 1; t >= 0; t--) moneyAfter[t] = moneyAfter[t + 1]! + money[t]!;
    const ties = new Float64Array(size * months);
    for (const { member, month, coefficient, link } of terms) {
      ties[member * months + month]! += coefficient * prices.links[link]!;
    }
    members.forEach((index, member) => {
      const retiredFrom = fixedRetirement[member]!;
      let tie = 0;
      for (let start = months - 1; start >= firstStart[member]!; start--) {
        tie += ties[member * months + start]!;
        const month = start - prepared.lead[index]!;
        if (month > prepared.latest[index]! || excluded[index * (months + 1) + start] === 1) continue;
        let [full, bare] = [0, 0];
        if (isHome[member]) {
          bare = prepared.price[index]! * money[month]!;
          const sold = start + prepared.proceedsAfter[index]!;
          if (sold < months) bare -= prepared.proceedsAmount[index]! * money[sold]!;
          full = bare + keeping(index, start, Math.min(retiredFrom, months), money, moneyAfter);
          if (retiredFrom >= months) full += prices.tail * prepared.tailCost[index]!;
        }
        costs[start * width + member] = full + tie;
        costs[start * width + size + member] = bare + tie;
      }
    });
    retirable.forEach((index, k) => {
      const retiredFrom = firstRetirement(index);
      const until = Math.min(retiredFrom, months);
      const inTail = retiredFrom >= months ? prices.tail * prepared.tailCost[index]! : 0;
      for (let end = 0; end < months; end++) {
        let saved = 0;
        if (!bitOf.has(index)) {
          const start = fixedStarts[index]!;
          saved =
            keeping(index, start, until, money, moneyAfter) -
            keeping(index, start, Math.min(until, end), money, moneyAfter);
        } else {
          // When it was bought is not remembered here, so the saving is that of the month that suits best.
          saved = Number.NEGATIVE_INFINITY;
          for (let start = firstStart[members.indexOf(index)]!; start <= end; start++) {
            const kept = keeping(index, start, until, money, moneyAfter);
            saved = Math.max(saved, kept - keeping(index, start, Math.min(until, end), money, moneyAfter));
          }
          if (saved === Number.NEGATIVE_INFINITY) saved = 0;
        }
        costs[end * width + 2 * size + k] = -(saved + inTail);
      }
    });
    return costs;
  }

  function firstRetirement(index: number): number {
    let first = NEVER;
    for (const other of prepared.retiredBy[index]!) {
      if (!bitOf.has(other)) first = Math.min(first, fixedStarts[other]!);
    }
    return first;
  }

  function schedule(given: Int32Array): Schedule {
    const bought = Int32Array.from(prepared.fixedMonth);
    members.forEach((index, member) => {
      bought[index] = given[member]! === NEVER ? -1 : given[member]! - prepared.lead[index]!;
    });
    const [values, own] = [[0, 0, 0], Int32Array.from(fixedStarts)];
    members.forEach((index, member) => {
      own[index] = given[member]!;
    });
    for (const animal of animals) {
      sums.fill(0);
      addScoresByMonth(prepared, prepared.animals[animal]!, own, room, sums);
      for (let t = 0; t < months; t++) for (let k = 0; k < 3; k++) values[k]! += sums[3 * t + k]!;
    }
    flow.fill(0);
    let tail = 0;
    const count = (index: number, month: number, retiredFrom: number, sign: number): void => {
      addCashFlow(prepared, index, month, retiredFrom, sign, flow);
      if (serviceStart(prepared, index, month) < months && retiredFrom >= months)
        tail += sign * prepared.tailCost[index]!;
    };
    members.forEach((index, member) => {
      if (isHome[member]) count(index, bought[index]!, retirementMonth(prepared, index, bought), 1);
    });
    for (const index of retirable) {
      if (bitOf.has(index)) continue;
      count(index, bought[index]!, retirementMonth(prepared, index, bought), 1);
      count(index, bought[index]!, firstRetirement(index), -1);
    }
    let sum = 0;
    const paid = Float64Array.from(flow, (amount) => {
      sum -= amount;
      return sum;
    });
    return { block: number, starts: given, severe: values[0]!, weighted: values[1]!, mean: values[2]!, paid, tail };
  }

  /** What a step costs in a month whose costs begin at `dear`; most steps add one thing and end nothing. */
  function stepCost(step: number, costs: Float64Array, dear: number): number {
    const from = slotStarts[step]!;
    const until = slotStarts[step + 1]!;
    let sum = costs[dear + slots[from]!]!;
    for (let k = from + 1; k < until; k++) sum += costs[dear + slots[k]!]!;
    return sum;
  }

  function best(worth: Worth, prices: Prices, terms: Terms): { schedule: Schedule; value: number } {
    const costs = costsOf(prices, terms);
    const width = 2 * size + retirable.length;
    // `ahead[t][set]`: the best that months before t can have brought with exactly this set in service by then.
    ahead.fill(Number.NEGATIVE_INFINITY);
    ahead[0] = 0;
    for (let t = 0; t < months; t++) {
      const row = t * setCount;
      const next = row + setCount;
      cameBy.fill(-1, row, next);
      const dear = t * width;
      const steps = live[t]!;
      for (let k = 0; k < steps.length; k++) {
        const step = steps[k]!;
        const to = stepTo[step]!;
        const before = ahead[row + stepFrom[step]!]!;
        if (before === Number.NEGATIVE_INFINITY) continue;
        const value = before - stepCost(step, costs, dear);
        if (value > ahead[row + to]!) {
          ahead[row + to] = value;
          cameBy[row + to] = step;
        }
      }
      for (let set = 0; set < setCount; set++) {
        if (ends[row + set] === 0) continue;
        ahead[next + set] =
          ahead[row + set]! + worth.weighted * weighted[row + set]! - worth.severe * severe[row + set]!;
      }
    }
    const reached = ahead.subarray(months * setCount);
    const bound = mustHold();
    for (let set = 0; set < setCount; set++)
      if ((masks[set]! & bound) !== bound) reached[set] = Number.NEGATIVE_INFINITY;
    let set = 0;
    for (let other = 1; other < setCount; other++) if (reached[other]! > reached[set]!) set = other;
    const value = reached[set]!;
    const given = new Int32Array(size).fill(NEVER);
    for (let t = months - 1; t >= 0; t--) {
      for (let step = cameBy[t * setCount + set]!; step >= 0; step = cameBy[t * setCount + set]!) {
        const from = stepFrom[step]!;
        const added = masks[set]! & ~masks[from]!;
        for (let member = 0; member < size; member++) if ((added & (1 << member)) !== 0) given[member] = t;
        set = from;
      }
    }
    return { schedule: schedule(given), value };
  }

  /** The members that may not stay out of service. */
  function mustHold(): number {
    return members.reduce((mask, index, member) => mask | (excluded[index * (months + 1) + months]! << member), 0);
  }

  function reach(worth: Worth, prices: Prices, terms: Terms, least: number): Float64Array {
    best(worth, prices, terms);
    const costs = costsOf(prices, terms);
    const width = 2 * size + retirable.length;
    const most = new Float64Array(size * (months + 1)).fill(Number.NEGATIVE_INFINITY);
    // `behind[set]`: the best that this month, once every step in it is taken, and the months after it can still bring.
    const behind = Float64Array.from(ahead.subarray(months * setCount), (value, set) => {
      for (let member = 0; member < size; member++) {
        const at = member * (months + 1) + months;
        if ((masks[set]! & (1 << member)) === 0 && value > most[at]!) most[at] = value;
      }
      return value === Number.NEGATIVE_INFINITY ? value : 0;
    });
    for (let t = months - 1; t >= 0; t--) {
      const row = t * setCount;
      for (let set = 0; set < setCount; set++) {
        behind[set]! += worth.weighted * weighted[row + set]! - worth.severe * severe[row + set]!;
        if (ahead[row + set]! + behind[set]! >= least) continue;
        ends[row + set] = 0;
        behind[set] = Number.NEGATIVE_INFINITY;
      }
      const steps = live[t]!;
      const kept = new Int32Array(steps.length);
      let count = 0;
      for (let k = steps.length - 1; k >= 0; k--) {
        const step = steps[k]!;
        const [from, to] = [stepFrom[step]!, stepTo[step]!];
        const value = behind[to]! - stepCost(step, costs, t * width);
        if (value > behind[from]!) behind[from] = value;
        const through = ahead[row + from]! + value;
        if (through < least || through === Number.NEGATIVE_INFINITY) continue;
        kept[count++] = step;
        const added = masks[to]! & ~masks[from]!;
        for (let member = 0; member < size; member++) {
          const at = member * (months + 1) + t;
          if ((added & (1 << member)) !== 0 && through > most[at]!) most[at] = through;
        }
      }
      live[t] = kept.subarray(0, count).reverse();
    }
    return most;
  }

  return { members, retirable, firstStart, finish, schedule, best, reach, remember };
}

/** The most that prices can have taken by the end of each month: the money there is and all that could be saved or sold by then. */
function mostMoney(prepared: PreparedProblem): Float64Array {
  const { months, count } = prepared;
  const most = slackOf(prepared, prepared.fixedMonth);
  for (let index = 0; index < count; index++) {
    const isFree = !prepared.owned[index] && prepared.fixedMonth[index]! < 0;
    const monthly = isFree ? -prepared.monthlyCost[index]! : prepared.monthlyCost[index]!;
    const endsWithRenewals = !isFree && prepared.retiredBy[index]!.length > 0;
    const first = isFree ? prepared.earliest[index]! + prepared.lead[index]! : 0;
    const flow = new Float64Array(months);
    if (monthly > 0 && (isFree || endsWithRenewals)) for (let t = first; t < months; t++) flow[t]! += monthly;
    if (isFree && first + prepared.proceedsAfter[index]! < months) {
      flow[first + prepared.proceedsAfter[index]!]! += prepared.proceedsAmount[index]!;
    }
    let sum = 0;
    for (let t = 0; t < months; t++) {
      sum += flow[t]!;
      most[t]! += sum;
    }
    if (!endsWithRenewals || prepared.renewal[index] === 0) continue;
    const renewals = new Float64Array(months);
    addCashFlow(prepared, index, prepared.fixedMonth[index]!, NEVER, -1, renewals);
    let paid = 0;
    for (let t = 0; t < months; t++) {
      paid += renewals[t]!;
      most[t]! += Math.max(0, paid - (t + 1) * Math.max(0, monthly));
    }
  }
  return most;
}

/** The first month in which a whole set can be in service for the money there is; the number of months when never. */
function firstPayableMonth(
  prepared: PreparedProblem,
  members: readonly number[],
  mask: number,
  most: Float64Array,
): number {
  const inSet = members.filter((_, member) => (mask & (1 << member)) !== 0);
  const leads = [...new Set(inSet.map((index) => prepared.lead[index]!))];
  for (let month = 0; month < prepared.months; month++) {
    const isPayable = leads.every((lead) => {
      const late = inSet.filter((index) => prepared.lead[index]! >= lead);
      const paid = late.reduce((sum, index) => sum + prepared.price[index]!, 0);
      return paid === 0 || (month >= lead && paid <= most[month - lead]!);
    });
    if (isPayable) return month;
  }
  return prepared.months;
}

type Sets = { masks: Int32Array; steps: { from: number; to: number }[] };

/**
 * All sets of members that can be in service together, smaller before larger, and the steps between them; null when there are too
 * many. A set is closed: one alternative of each requirement is in it, and no two members share a group. What is fixed counts as there.
 */
function closedSets(
  prepared: PreparedProblem,
  members: readonly number[],
  bitOf: ReadonlyMap<number, number>,
  fixedStarts: Int32Array,
): Sets | null {
  const requirements = members.map((index) =>
    prepared.requires[index]!.filter((alternatives) => {
      return [...alternatives].every((other) => bitOf.has(other) || fixedStarts[other]! >= prepared.months);
    }).map((alternatives) => [...alternatives].filter((other) => bitOf.has(other)).map((other) => bitOf.get(other)!)),
  );
  const rivals = members.map((index, member) =>
    members.reduce((mask, other, k) => {
      const shares = k !== member && prepared.groups[other]!.some((group) => prepared.groups[index]!.includes(group));
      return shares ? mask | (1 << k) : mask;
    }, 0),
  );
  const memberOf = (bit: number) => 31 - Math.clz32(bit);
  /** The closed sets that adding one member may lead to, each with as little besides as one choice of alternatives needs. */
  const adding = (mask: number, member: number): number[] => {
    const found: number[] = [];
    const grow = (set: number, open: number[]): void => {
      if (found.length > MOST_SETS) return;
      const next = open[0];
      if (next === undefined) {
        found.push(set);
        return;
      }
      const unmet = requirements[next]!.find((bits) => bits.every((bit) => (set & bit) === 0));
      if (unmet === undefined) {
        grow(set, open.slice(1));
        return;
      }
      for (const bit of unmet) {
        const other = memberOf(bit);
        if ((set & rivals[other]!) === 0) grow(set | bit, [...open, other]);
      }
    };
    if ((mask & rivals[member]!) === 0) grow(mask | (1 << member), [member]);
    return found;
  };

  const known = new Set<number>([0]);
  const pairs: [number, number][] = [];
  const queue = [0];
  for (let mask = queue.pop(); mask !== undefined; mask = queue.pop()) {
    const single = new Set<number>();
    const several: number[] = [];
    for (let member = 0; member < members.length; member++) {
      if ((mask & (1 << member)) !== 0) continue;
      for (const after of adding(mask, member)) {
        if (after === (mask | (1 << member))) single.add(after);
        else several.push(after);
      }
    }
    // A step that a smaller step begins adds nothing that the two after each other do not.
    const begun = (after: number) => [...single].some((one) => (after & one) === one);
    const reached = [...single, ...new Set(several.filter((after) => !begun(after)))];
    for (const after of reached) {
      pairs.push([mask, after]);
      if (known.has(after)) continue;
      known.add(after);
      if (known.size > MOST_SETS) return null;
      queue.push(after);
    }
  }
  const masks = Int32Array.from(known).sort();
  const position = new Map(Array.from(masks, (mask, k) => [mask, k]));
  const steps = pairs
    .map(([from, to]) => ({ from: position.get(from)!, to: position.get(to)! }))
    .sort((a, b) => a.to - b.to || a.from - b.from);
  return { masks, steps };
}
