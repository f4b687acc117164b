// Bounds and plans for large problems: a plan is a choice of one schedule ("column") a block under the shared money. Prices of the money,
// found by a linear program over the schedules met so far, make the blocks independent of each other; the best schedule of each
// block at those prices joins the columns. Whatever the prices are, the blocks' best values bound every plan, so that no rounding of
// an engine can spoil a bound.

import { cutIntoBlocks, type Prices, type Schedule, type Worth } from './blocks.ts';
import { NEVER, type PreparedProblem, slackOf, tailCostOf } from './evaluate.ts';
import { type GrowingProgram, growProgram, type Program } from './solver.ts';

/** What the columns are asked for: fewest severe needs, or most weighted points among plans with few enough severe needs. */
export type Aim = { aim: 'severe' } | { aim: 'weighted'; severeAtMost: number };

/** A 0/1 program over columns, and the plan that a point of it stands for: months bought by index. */
type ColumnChoice = { program: Program; planOf(values: ArrayLike<number>): Int32Array };

/** Work on one problem by columns; everything may be called as often as wanted. */
export type ColumnWork = {
  /** Takes the schedules of a feasible plan as columns, months bought by index. */
  learn(bought: Int32Array): void;
  /**
   * One round of pricing for an aim. `bound`: the best so far (severe: no plan has fewer; weighted: no plan has more).
   * `settled`: no schedule is missing that would better the shares, so the bound stays where it is.
   */
  tighten(aim: Aim): { bound: number; settled: boolean };
  /**
   * Rules out what no plan worth `needed` for the aim can hold (severe: at most so many; weighted: at least so much), given the
   * prices of the last rounds; returns how many months of purchases were ruled out. From then on bounds hold for such plans only.
   */
  narrow(aim: Aim, needed: number): number;
  /** Whether a purchase may still be bought in a month (the number of months: never). */
  allows(index: number, month: number): boolean;
  /**
   * Splits the most promising part of what is still open for plans worth `needed` (as for `narrow`) in two, by whether one purchase is
   * in service by one month. `bound` as for `tighten`, for all parts together; `open`: how many parts are left to split.
   */
  branch(aim: Aim, needed: number): { bound: number; open: number };
  /** The choice of one column a block. */
  choice(aim: Aim): ColumnChoice;
  /** Frees the engine's memory. */
  close(): void;
};

type RowPrices = Float64Array;

/** A part of what is still open: its bound, its prices, what it rules out, and where it is to be split (null: nowhere). */
type Part = { bound: number; excluded: Uint8Array; prices: RowPrices | null; split: Split | null };
type Split = { index: number; start: number };

/** Rounds of pricing for each new part. */
const ROUNDS_A_PART = 12;

/** How far a round's prices stay at the best prices so far; found by trial on problems of 6 to 24 animals. */
const STEADINESS = 0.6;

/** Begins work by columns from a feasible plan, months bought by index; null when the problem cannot be cut into blocks. */
export async function startColumns(prepared: PreparedProblem, start: Int32Array): Promise<ColumnWork | null> {
  const cut = cutIntoBlocks(prepared);
  if (cut === null) return null;
  const { months } = prepared;
  const blockCount = cut.members.length;
  const bareSlack = slackOf(prepared, prepared.fixedMonth);
  const hasTail = Number.isFinite(prepared.tailIncome);
  const tailRoom = prepared.tailIncome - tailCostOf(prepared, prepared.fixedMonth);
  // Amounts are kept near one, so that the engine's tolerances mean the same for every currency.
  const scale = Math.max(1, ...bareSlack.map(Math.abs)) / 10;

  const tailRow = months;
  const severeRow = months + 1;
  const blockRow = (block: number) => months + 2 + block;
  const linkRow = (link: number) => months + 2 + blockCount + link;
  const rows = [
    ...Array.from(bareSlack, (slack) => ({ lower: Number.NEGATIVE_INFINITY, upper: slack / scale })),
    { lower: Number.NEGATIVE_INFINITY, upper: hasTail ? tailRoom / scale : Number.POSITIVE_INFINITY },
    { lower: Number.NEGATIVE_INFINITY, upper: Number.POSITIVE_INFINITY },
    ...Array.from({ length: blockCount }, () => ({ lower: 1, upper: 1 })),
    ...cut.links.map(({ lower, upper }) => ({ lower, upper })),
  ];
  const master: GrowingProgram = await growProgram(rows);
  const columns: Schedule[] = [];
  const known = new Set<string>();
  let shares: Float64Array = new Float64Array(0);

  function entriesOf(column: Schedule): [number, number][] {
    const entries: [number, number][] = [];
    column.paid.forEach((sum, month) => {
      if (sum !== 0) entries.push([month, sum / scale]);
    });
    if (hasTail && column.tail !== 0) entries.push([tailRow, column.tail / scale]);
    if (column.severe !== 0) entries.push([severeRow, column.severe]);
    entries.push([blockRow(column.block), 1]);
    cut!.links.forEach(({ terms }, link) => {
      let sum = 0;
      for (const { block, member, month, coefficient } of terms) {
        if (block === column.block && column.starts[member]! <= month) sum += coefficient;
      }
      if (sum !== 0) entries.push([linkRow(link), sum]);
    });
    return entries;
  }

  function add(found: readonly Schedule[]): number {
    const fresh = found.filter((column) => {
      const key = `${column.block}:${column.starts.join()}`;
      if (known.has(key)) return false;
      known.add(key);
      return true;
    });
    columns.push(...fresh);
    master.addColumns(fresh.map((column) => ({ cost: costOf(column, aimed), entries: entriesOf(column) })));
    return fresh.length;
  }

  const costOf = (column: Schedule, aim: Aim) => (aim.aim === 'severe' ? column.severe : -column.weighted);
  let aimed: Aim = { aim: 'severe' };
  let best: { prices: RowPrices; value: number } | null = null;
  let parts: Part[] | null = null;
  let settledBound = Number.NEGATIVE_INFINITY;

  function turnTo(aim: Aim): void {
    if (aim.aim === aimed.aim && (aim.aim === 'severe' || aim.severeAtMost === limitOf(aimed))) return;
    // What was ruled out for one aim may be in the best plan for another.
    cut!.excluded.fill(0);
    cut!.remember();
    closeColumns();
    aimed = aim;
    best = null;
    parts = null;
    settledBound = Number.NEGATIVE_INFINITY;
    master.setCosts(Float64Array.from(columns, (column) => costOf(column, aim)));
    master.setRow(severeRow, Number.NEGATIVE_INFINITY, limitOf(aim));
  }

  /** Prices of the rows out of an engine's, with the signs that make every one of them a valid price. */
  function pricesFrom(rowPrices: ArrayLike<number>): RowPrices {
    return Float64Array.from(rows, (row, index) => {
      const price = -rowPrices[index]!;
      const isLimit = index <= severeRow || (index >= linkRow(0) && row.lower === Number.NEGATIVE_INFINITY);
      if (isLimit) return Math.max(0, price);
      return row.upper === Number.POSITIVE_INFINITY ? Math.min(0, price) : price;
    });
  }

  function givenPrices(prices: RowPrices): Prices {
    const money = new Float64Array(months);
    let sum = 0;
    for (let month = months - 1; month >= 0; month--) {
      sum += prices[month]! / scale;
      money[month] = sum;
    }
    return { money, tail: hasTail ? prices[tailRow]! / scale : 0, links: prices.subarray(linkRow(0)) };
  }

  function worthAt(prices: RowPrices, aim: Aim): Worth {
    return aim.aim === 'severe' ? { weighted: 0, severe: 1 } : { weighted: 1, severe: prices[severeRow]! };
  }

  /** The best schedule of each block at some prices, and the bound on the aim's value that they prove. */
  function priceBlocks(prices: RowPrices, aim: Aim): { found: Schedule[]; value: number; worths: number[] } {
    const given = givenPrices(prices);
    const worth = worthAt(prices, aim);
    const found: Schedule[] = [];
    const worths: number[] = [];
    let value = 0;
    for (let block = 0; block < blockCount; block++) {
      const best = cut!.best(block, worth, given);
      found.push(best.schedule);
      worths.push(best.value);
      value += best.value;
    }
    for (let month = 0; month < months; month++) value += (prices[month]! / scale) * bareSlack[month]!;
    if (hasTail) value += given.tail * tailRoom;
    if (aim.aim === 'weighted') value += prices[severeRow]! * aim.severeAtMost;
    cut!.links.forEach(({ lower, upper }, link) => {
      const price = given.links[link]!;
      if (price !== 0) value += price * (price > 0 ? upper : lower);
    });
    return { found, value, worths };
  }

  function tighten(aim: Aim): { bound: number; settled: boolean } {
    turnTo(aim);
    const asBound = () => (aim.aim === 'severe' ? -1 : 1) * (best?.value ?? Number.POSITIVE_INFINITY);
    const solved = master.solve();
    // An engine that fails takes nothing away: the bounds found before hold.
    if (solved === null) return { bound: asBound(), settled: true };
    shares = solved.shares;
    const now = pricesFrom(solved.rowPrices);
    const steady = best;
    const mixed =
      steady === null ? now : now.map((price, row) => STEADINESS * steady.prices[row]! + (1 - STEADINESS) * price);
    let fresh = 0;
    for (const prices of steady === null ? [now] : [mixed, now]) {
      const { found, value } = priceBlocks(prices, aim);
      if (best === null || value < best.value) best = { prices, value };
      fresh += add(found);
      if (fresh > 0) break;
    }
    const reached = -solved.cost;
    const gap = best!.value - reached;
    return { bound: asBound(), settled: fresh === 0 || gap <= 1e-6 * Math.max(1, Math.abs(reached)) };
  }

  function closeColumns(): void {
    master.limitShares(
      Float64Array.from(columns, (column) => (isStandIn(column) || cut!.holds(column) ? Number.POSITIVE_INFINITY : 0)),
    );
  }

  function branch(aim: Aim, needed: number): { bound: number; open: number } {
    turnTo(aim);
    const least = raised(aim, needed);
    const whole = cut!.excluded.slice();
    parts ??= [settle({ bound: Number.POSITIVE_INFINITY, excluded: whole, prices: best?.prices ?? null, split: null })];
    parts = parts.filter((one) => one.bound >= least && one.split !== null).sort((a, b) => a.bound - b.bound);
    const part = parts.pop();
    for (const early of part === undefined ? [] : [true, false]) {
      const { index, start: at } = part!.split!;
      const excluded = part!.excluded.slice();
      for (let start = 0; start <= months; start++) {
        if (start <= at !== early) excluded[index * (months + 1) + start] = 1;
      }
      parts.push(settle({ ...part!, excluded, split: null }));
    }
    cut!.excluded.set(whole);
    closeColumns();
    best = null;
    // A part that cannot be split any more keeps its bound.
    settledBound = Math.max(
      settledBound,
      ...parts.filter((one) => one.split === null && one.bound >= least).map((one) => one.bound),
    );
    const open = parts.filter((one) => one.bound >= least && one.split !== null);
    const bound = Math.max(least, settledBound, ...open.map((one) => one.bound));
    return { bound: aim.aim === 'severe' ? -bound : bound, open: open.length };

    function settle(one: Part): Part {
      cut!.excluded.set(one.excluded);
      closeColumns();
      best = null;
      let { bound } = one;
      if (one.prices !== null) {
        const { found, value } = priceBlocks(one.prices, aim);
        best = { prices: one.prices, value };
        add(found);
        bound = Math.min(bound, value);
      }
      for (let round = 0; round < ROUNDS_A_PART && bound >= least; round++) {
        const { settled } = tighten(aim);
        if (best !== null) bound = Math.min(bound, best.value);
        if (settled) break;
      }
      return {
        bound,
        excluded: one.excluded,
        prices: best?.prices ?? null,
        split: bound >= least ? mostUndecided() : null,
      };
    }
  }

  /** Whether a purchase may be in service by a month and may also not be: a split that is decided already would never end. */
  function isOpen(index: number, month: number): boolean {
    const starts = cut!.excluded.subarray(index * (months + 1), (index + 1) * (months + 1));
    return starts.subarray(0, month + 1).includes(0) && starts.subarray(month + 1).includes(0);
  }

  /** The purchase and month by which the shares of the last round are most undecided; null when they are all whole. */
  function mostUndecided(): Split | null {
    const by = new Float64Array(prepared.count * months);
    const homes = new Int32Array(prepared.count).fill(-1);
    columns.forEach((column, k) => {
      const share = shares[k] ?? 0;
      if (share <= 1e-9) return;
      column.starts.forEach((start, member) => {
        const index = cut!.members[column.block]![member]!;
        if (homes[index] === -1) homes[index] = column.block;
        if (homes[index] !== column.block) return;
        for (let t = start; t < months; t++) by[index * months + t]! += share;
      });
    });
    let found: { index: number; start: number } | null = null;
    let most = 1e-3;
    for (let index = 0; index < prepared.count; index++) {
      for (let t = 0; t < months; t++) {
        const y = by[index * months + t]!;
        // Dear and early is what decides most about the rest; found by trial.
        const score = Math.min(y, 1 - y) * (prepared.price[index]! / scale) * (months - t);
        if (score > most && isOpen(index, t)) {
          most = score;
          found = { index, start: t };
        }
      }
    }
    return found;
  }

  const learn = (bought: Int32Array): void => {
    add(Array.from({ length: blockCount }, (_, block) => cut.scheduleIn(block, bought)));
  };
  // A share of nothing at all, at a price that no plan would pay, so that the program has an optimum whatever is ruled out.
  const unpayable = 1000 * Math.max(1, prepared.priority[0]) * prepared.weight.reduce((sum, one) => sum + one, 0);
  const standIns = cut.members.map((members, block): Schedule => {
    const starts = new Int32Array(members.length).fill(NEVER);
    return { block, starts, severe: unpayable, weighted: -unpayable, mean: 0, paid: new Float64Array(months), tail: 0 };
  });
  const isStandIn = (column: Schedule) => column === standIns[column.block];
  columns.push(...standIns);
  master.addColumns(standIns.map(({ block }) => ({ cost: unpayable, entries: [[blockRow(block), 1]] })));
  learn(start);

  return {
    learn,
    tighten,
    narrow(aim, needed) {
      turnTo(aim);
      if (best === null) return 0;
      const least = raised(aim, needed);
      const { worths, value } = priceBlocks(best.prices, aim);
      let count = 0;
      for (let block = 0; block < blockCount; block++) {
        const leastHere = least - value + worths[block]!;
        const reach = cut.reach(block, worthAt(best.prices, aim), givenPrices(best.prices), leastHere);
        cut.members[block]!.forEach((index, member) => {
          for (let start = 0; start <= months; start++) {
            if (cut.excluded[index * (months + 1) + start] === 1) continue;
            if (reach[member * (months + 1) + start]! >= leastHere) continue;
            cut.excluded[index * (months + 1) + start] = 1;
            count++;
          }
        });
      }
      if (count === 0) return 0;
      best = null;
      closeColumns();
      return count;
    },
    allows: (index, month) =>
      cut.excluded[index * (months + 1) + Math.min(months, month + prepared.lead[index]!)] === 0,
    branch,
    choice(aim) {
      turnTo(aim);
      const chosen = columns.filter((column) => !isStandIn(column) && cut.holds(column));
      const program: Program = {
        sense: 'minimise',
        variables: chosen.map((column) => ({ cost: costOf(column, aim), lower: 0, upper: 1, whole: true })),
        rows: rows.map((row, index) => ({
          lower: row.lower,
          upper: index === severeRow ? limitOf(aim) : row.upper,
          entries: [],
        })),
      };
      chosen.forEach((column, variable) => {
        for (const [row, coefficient] of entriesOf(column)) program.rows[row]!.entries.push([variable, coefficient]);
      });
      return {
        program,
        planOf(values) {
          const bought = Int32Array.from(prepared.fixedMonth);
          chosen.forEach((column, variable) => {
            if (Math.round(values[variable]!) !== 1) return;
            column.starts.forEach((start, member) => {
              const index = cut.members[column.block]![member]!;
              if (start !== NEVER) bought[index] = start - prepared.lead[index]!;
            });
          });
          return bought;
        },
      };
    },
    close: () => master.close(),
  };
}

/** A figure of the aim as a value to be raised. */
function raised(aim: Aim, figure: number): number {
  return aim.aim === 'severe' ? -figure : figure;
}

function limitOf(aim: Aim): number {
  return aim.aim === 'severe' ? Number.POSITIVE_INFINITY : aim.severeAtMost;
}
