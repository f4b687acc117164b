// An independent referee of plans, written from the planning problem's definition alone and sharing no code with the
// planner: it recomputes cash in whole minor units and every score, month by month, in the plainest way.

// biome-ignore lint/suspicious/noExplicitAny: the referee reads raw problems and trusts no type of the planner
type Raw = any;

export type Verdict =
  | { feasible: false; because: string }
  | {
      feasible: true;
      severe: number;
      weighted: number;
      mean: number;
      spend: number;
      balances: number[];
      scores: (number | null)[][];
    };

const at = (given: Raw, month: number, otherwise = 0): number =>
  given === undefined || given === null ? otherwise : Array.isArray(given) ? given[month] : given;

/** Judges the months in which the purchases are bought, in the problem's order; null where not bought. */
export function judge(problem: Raw, months: readonly (number | null)[], plainPoints = false): Verdict {
  const T: number = problem.months;
  const items: Raw[] = problem.purchases;
  const place: Record<string, number> = {};
  items.forEach((item, i) => {
    place[item.id] = i;
  });
  const no = (because: string): Verdict => ({ feasible: false, because });

  // Month of entering service, or null.
  const service: (number | null)[] = items.map((item, i) => {
    if (item.ownedSince !== undefined) return item.ownedSince;
    const m = months[i];
    return m === null || m === undefined ? null : m + (item.lead ?? 0);
  });
  const inService = (id: string, t: number): boolean => {
    const s = service[place[id]!];
    return s !== null && s !== undefined && s <= t;
  };

  const perGroup: Record<string, number> = {};
  for (const [i, item] of items.entries()) {
    const m = months[i] ?? null;
    if (item.ownedSince !== undefined) {
      if (m !== null) return no('owned already');
      continue;
    }
    if (item.fixedMonth !== undefined && m !== item.fixedMonth) return no('fixed month');
    if (m === null) continue;
    if (m < 0 || m >= T) return no('outside the plan');
    if (item.fixedMonth === undefined && m < (item.earliest ?? 0)) return no('too early');
    for (const group of item.groups ?? []) {
      perGroup[group] = (perGroup[group] ?? 0) + 1;
      if (perGroup[group] > 1) return no('group');
    }
    for (const entry of item.requires ?? []) {
      const any = typeof entry === 'string' ? [entry] : entry;
      if (!any.some((id: string) => inService(id, service[i]!))) return no('requires');
    }
  }

  const retired = (item: Raw, t: number): boolean =>
    items.some((other) => (other.retires ?? []).includes(item.id) && inService(other.id, t));

  let cash: number = problem.openingCash ?? 0;
  let spend = 0;
  const balances: number[] = [];
  for (let t = 0; t < T; t++) {
    cash += at(problem.income, t) - at(problem.committed, t);
    let out = 0;
    for (const [i, item] of items.entries()) {
      if (months[i] === t) out += item.price;
      const s = service[i];
      if (s === null || s === undefined) continue;
      if (t >= s && !retired(item, t)) {
        out += item.monthlyCost ?? 0;
        if (item.life && t > s && (t - s) % item.life === 0) out += item.renewal ?? 0;
      }
      if (item.proceeds && item.ownedSince === undefined && t === s + item.proceeds.after) out -= item.proceeds.amount;
    }
    cash -= out;
    spend += out;
    balances.push(cash);
    if (cash < at(problem.reserve, t)) return no('reserve');
  }

  if (problem.tailIncome !== undefined) {
    let tail = 0;
    for (const item of items) {
      if (!inService(item.id, T - 1) || retired(item, T - 1)) continue;
      tail += (item.monthlyCost ?? 0) + (item.life ? (item.renewal ?? 0) / item.life : 0);
    }
    if (tail > problem.tailIncome + 1e-9) return no('tail');
  }

  const [below40, to70, above70] = plainPoints ? [1, 1, 1] : (problem.priority ?? [3, 2, 1]);
  let severe = 0;
  let weighted = 0;
  let mean = 0;
  const scores: (number | null)[][] = problem.animals.map(() => []);
  for (const [a, animal] of problem.animals.entries()) {
    for (let t = 0; t < T; t++) {
      scores[a]!.push(null);
      if (t < (animal.from ?? 0) || t >= (animal.until ?? T)) continue;
      const times = (t === T - 1 ? 1 + problem.creditMonths : 1) * (animal.share ?? 1);
      let sum = 0;
      let weights = 0;
      let lowest = Number.POSITIVE_INFINITY;
      for (const need of animal.needs) {
        if ((need.offMonths ?? []).includes(t)) continue;
        const holding = need.states.filter(
          (state: Raw) =>
            state.needs.every((id: string) => inService(id, t)) &&
            !(state.blockedBy ?? []).some((id: string) => inService(id, t)),
        );
        let value = 0;
        for (const state of holding) value = Math.max(value, at(state.value, t));
        const allSevere = holding.every((state: Raw) => state.severe ?? at(state.value, t) < 20);
        if (need.lifeCritical && allSevere) severe += times;
        sum += need.weight * value;
        weights += need.weight;
        lowest = Math.min(lowest, value + need.allowance);
      }
      if (weights === 0) continue;
      const score = Math.min(sum / weights, lowest);
      scores[a]![t] = score;
      mean += times * (sum / weights);
      const middle = Math.min(Math.max(score - 40, 0), 30);
      weighted += times * (below40 * Math.min(score, 40) + to70 * middle + above70 * Math.max(score - 70, 0));
    }
  }
  return { feasible: true, severe, weighted, mean, spend, balances, scores };
}

/** Judges a list of buys; an id that is unknown or bought twice is not feasible. */
export function judgeBuys(problem: Raw, buys: readonly { purchase: string; month: number }[]): Verdict {
  const months: (number | null)[] = problem.purchases.map(() => null);
  for (const buy of buys) {
    const i = problem.purchases.findIndex((item: Raw) => item.id === buy.purchase);
    if (i < 0) return { feasible: false, because: 'unknown id' };
    if (months[i] !== null || !Number.isInteger(buy.month)) return { feasible: false, because: 'bought twice' };
    months[i] = buy.month;
  }
  return judge(problem, months);
}

/** Fewest severe, most weighted, highest mean, least spend; sums that differ by less than a millionth are equal. */
export function better(
  a: { severe: number; weighted: number; mean: number; spend: number },
  b: { severe: number; weighted: number; mean: number; spend: number },
): boolean {
  const same = (x: number, y: number) => Math.abs(x - y) < 1e-6 * Math.max(Math.abs(x), Math.abs(y), 1e-9);
  if (a.severe !== b.severe) return a.severe < b.severe;
  if (!same(a.weighted, b.weighted)) return a.weighted > b.weighted;
  if (!same(a.mean, b.mean)) return a.mean > b.mean;
  return a.spend < b.spend;
}

/** Every schedule of a small problem, feasible or not, in turn. */
export function* everySchedule(problem: Raw): Generator<(number | null)[]> {
  const T: number = problem.months;
  const options: (number | null)[][] = problem.purchases.map((item: Raw) => {
    if (item.ownedSince !== undefined) return [null];
    if (item.fixedMonth !== undefined) return [item.fixedMonth];
    const list: (number | null)[] = [null];
    for (let m = item.earliest ?? 0; m < T; m++) list.push(m);
    return list;
  });
  const months: (number | null)[] = options.map(() => null);
  function* fill(i: number): Generator<(number | null)[]> {
    if (i === options.length) {
      yield months;
      return;
    }
    for (const option of options[i]!) {
      months[i] = option;
      yield* fill(i + 1);
    }
  }
  yield* fill(0);
}

/** The best of every schedule; how many are feasible; and the most points of a schedule with each count of severe needs. */
export type BestOfAll = Extract<Verdict, { feasible: true }> & { count: number; mostPoints: Map<number, number> };

/** The best of every schedule; null when none is feasible. */
export function bestByTryingAll(problem: Raw): BestOfAll | null {
  let best: Extract<Verdict, { feasible: true }> | null = null;
  let count = 0;
  const mostPoints = new Map<number, number>();
  for (const months of everySchedule(problem)) {
    const verdict = judge(problem, months);
    if (!verdict.feasible) continue;
    count++;
    const { severe, weighted } = verdict;
    mostPoints.set(severe, Math.max(weighted, mostPoints.get(severe) ?? Number.NEGATIVE_INFINITY));
    if (best === null || better(verdict, best)) best = verdict;
  }
  return best === null ? null : { ...best, count, mostPoints };
}
