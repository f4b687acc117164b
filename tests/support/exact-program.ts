// A second way to the best plan of a problem too large for trying every schedule: a program written from the definition alone, one
// 0/1 number for each purchase and month of buying, given to HiGHS as text. It shares nothing with the planner but that engine:
// neither the program's form nor its rows, and the plan that comes out is judged by the referee.

import highsModule from 'highs';
import { judge, type Verdict } from './referee.ts';

// biome-ignore lint/suspicious/noExplicitAny: like the referee, it reads raw problems and trusts no type of the planner
type Raw = any;
type Linear = { constant: number; terms: Map<string, number> };

// The package describes itself as CommonJS to the type checker and is an ES module when it runs.
const load = highsModule as unknown as typeof highsModule.default;
let loading: ReturnType<typeof load> | null = null;

const at = (given: Raw, month: number): number =>
  given === undefined || given === null ? 0 : Array.isArray(given) ? given[month] : given;

/** The best plan's figures in all four stages, or null when no plan is feasible. Throws when the engine does not decide. */
export async function bestByExactProgram(problem: Raw): Promise<Extract<Verdict, { feasible: true }> | null> {
  loading ??= load();
  const highs = await loading;
  const T: number = problem.months;
  const items: Raw[] = problem.purchases;
  const place = new Map<string, number>(items.map((item, i) => [item.id, i]));
  const rows: string[] = [];
  const bounds: string[] = [];
  const whole = new Set<string>();

  const linear = (constant = 0, terms: [string, number][] = []): Linear => ({ constant, terms: new Map(terms) });
  const plus = (sum: Linear, other: Linear, factor = 1): Linear => {
    const terms = new Map(sum.terms);
    for (const [name, value] of other.terms) terms.set(name, (terms.get(name) ?? 0) + factor * value);
    return { constant: sum.constant + factor * other.constant, terms };
  };
  const total = (list: Linear[]): Linear => list.reduce((sum, one) => plus(sum, one), linear());
  const write = ({ terms }: Linear): string => {
    const parts = [...terms].filter(([, value]) => value !== 0);
    // The text form wants at least one variable in a row.
    if (parts.length === 0) return '0 nothing';
    return parts.map(([name, value]) => `${value < 0 ? '-' : '+'} ${Math.abs(value)} ${name}`).join('\n ');
  };
  const row = (sum: Linear, sign: '<=' | '>=' | '=', limit: number): void => {
    rows.push(` ${write(sum)} ${sign} ${limit - sum.constant}`);
  };
  const number = (name: string, low = 0, high: number | null = null): Linear => {
    bounds.push(high === null ? ` ${name} >= ${low}` : ` ${low} <= ${name} <= ${high}`);
    return linear(0, [[name, 1]]);
  };
  const zeroOrOne = (name: string): Linear => {
    whole.add(name);
    return linear(0, [[name, 1]]);
  };
  /** 1 when all of these 0/1 sums are 1, exactly. */
  const all = (name: string, parts: Linear[]): Linear => {
    if (parts.length === 0) return linear(1);
    const both = zeroOrOne(name);
    for (const part of parts) row(plus(both, part, -1), '<=', 0);
    row(plus(both, total(parts), -1), '>=', 1 - parts.length);
    return both;
  };
  const not = (part: Linear): Linear => plus(linear(1), part, -1);
  number('nothing', 0, 0);

  // Buying: once, within its months, at most one of a group.
  const buy: (Linear | null)[][] = items.map((item, i) =>
    Array.from({ length: T }, (_, m) => {
      if (item.ownedSince !== undefined) return null;
      if (item.fixedMonth !== undefined ? m !== item.fixedMonth : m < (item.earliest ?? 0)) return null;
      return zeroOrOne(`x_${i}_${m}`);
    }),
  );
  const bought = (i: number, months: (m: number) => boolean): Linear =>
    total(buy[i]!.filter((one, m): one is Linear => one !== null && months(m)));
  const groups = new Map<string, Linear>();
  items.forEach((item, i) => {
    if (item.ownedSince !== undefined) return;
    row(
      bought(i, () => true),
      item.fixedMonth !== undefined ? '=' : '<=',
      1,
    );
    for (const group of item.groups ?? []) {
      groups.set(
        group,
        plus(
          groups.get(group) ?? linear(),
          bought(i, () => true),
        ),
      );
    }
  });
  for (const sum of groups.values()) row(sum, '<=', 1);

  // Service, requirements, retirement.
  const service = (i: number, t: number): Linear =>
    items[i].ownedSince !== undefined ? linear(1) : bought(i, (m) => m + (items[i].lead ?? 0) <= t);
  const called = (id: string, t: number): Linear => service(place.get(id)!, t);
  items.forEach((item, i) => {
    for (const entry of item.ownedSince === undefined ? (item.requires ?? []) : []) {
      const any: string[] = typeof entry === 'string' ? [entry] : entry;
      buy[i]!.forEach((one, m) => {
        if (one === null) return;
        const start = m + (item.lead ?? 0);
        row(plus(total(any.map((id) => called(id, start))), one, -1), '>=', 0);
      });
    }
  });
  const retired = items.map((item, i) => {
    const retirers = items.flatMap((other, j) => ((other.retires ?? []).includes(item.id) ? [j] : []));
    return Array.from({ length: T }, (_, t) => {
      if (retirers.length === 0) return linear();
      return not(
        all(
          `kept_${i}_${t}`,
          retirers.map((j) => not(service(j, t))),
        ),
      );
    });
  });
  const active = (i: number, t: number): Linear => all(`a_${i}_${t}`, [service(i, t), not(retired[i]![t]!)]);

  // Money.
  let balance = linear(problem.openingCash ?? 0);
  let spend = linear();
  let tailSum = linear();
  for (let t = 0; t < T; t++) {
    let out = linear();
    items.forEach((item, i) => {
      const lead = item.lead ?? 0;
      if (buy[i]![t]) out = plus(out, buy[i]![t]!, item.price);
      const inUse = active(i, t);
      out = plus(out, inUse, item.monthlyCost ?? 0);
      if (item.life && item.renewal) {
        const isDue = (start: number) => t > start && (t - start) % item.life === 0;
        const due =
          item.ownedSince !== undefined ? linear(isDue(item.ownedSince) ? 1 : 0) : bought(i, (m) => isDue(m + lead));
        out = plus(out, all(`d_${i}_${t}`, [due, not(retired[i]![t]!)]), item.renewal);
      }
      if (item.proceeds && item.ownedSince === undefined) {
        out = plus(
          out,
          bought(i, (m) => m + lead + item.proceeds.after === t),
          -item.proceeds.amount,
        );
      }
      if (t === T - 1) {
        const carried = (item.monthlyCost ?? 0) + (item.life ? (item.renewal ?? 0) / item.life : 0);
        tailSum = plus(tailSum, inUse, carried);
      }
    });
    spend = plus(spend, out);
    balance = plus(plus(balance, out, -1), linear(at(problem.income, t) - at(problem.committed, t)));
    row(balance, '>=', at(problem.reserve, t));
  }
  if (problem.tailIncome !== undefined) row(tailSum, '<=', problem.tailIncome + 1e-9);

  // Scores.
  let severe = linear();
  let weighted = linear();
  let mean = linear();
  const priority = problem.priority ?? [3, 2, 1];
  problem.animals.forEach((animal: Raw, a: number) => {
    for (let t = animal.from ?? 0; t < Math.min(T, animal.until ?? T); t++) {
      const times = t === T - 1 ? 1 + problem.creditMonths : 1;
      const counting = animal.needs.filter((need: Raw) => !(need.offMonths ?? []).includes(t));
      const weights = counting.reduce((sum: number, need: Raw) => sum + need.weight, 0);
      let itsMean = linear();
      const limits: Linear[] = [];
      counting.forEach((need: Raw, n: number) => {
        const holds: Linear[] = need.states.map((state: Raw, s: number) =>
          all(`h_${a}_${t}_${n}_${s}`, [
            ...state.needs.map((id: string) => called(id, t)),
            ...(state.blockedBy ?? []).map((id: string) => not(called(id, t))),
          ]),
        );
        let value = linear();
        let picked = linear();
        need.states.forEach((state: Raw, s: number) => {
          const pick = number(`z_${a}_${t}_${n}_${s}`, 0, 1);
          row(plus(pick, holds[s]!, -1), '<=', 0);
          picked = plus(picked, pick);
          value = plus(value, pick, at(state.value, t));
        });
        row(picked, '<=', 1);
        if (need.lifeCritical) {
          const isSevere = number(`s_${a}_${t}_${n}`, 0, 1);
          const safe = holds.filter((_, s) => !(need.states[s].severe ?? at(need.states[s].value, t) < 20));
          row(plus(isSevere, total(safe)), '>=', 1);
          severe = plus(severe, isSevere, times);
        }
        if (weights > 0) itsMean = plus(itsMean, value, need.weight / weights);
        limits.push(plus(value, linear(need.allowance)));
      });
      if (weights === 0) continue;
      mean = plus(mean, itsMean, times);
      const parts = [number(`l_${a}_${t}`, 0, 40), number(`m_${a}_${t}`, 0, 30), number(`u_${a}_${t}`)];
      for (const limit of [itsMean, ...limits]) row(plus(total(parts), limit, -1), '<=', 0);
      parts.forEach((part, k) => {
        weighted = plus(weighted, part, times * priority[k]);
      });
    }
  });

  let months: (number | null)[] = [];
  const solve = (sense: 'Minimize' | 'Maximize', figure: Linear): number | null => {
    const general = [...whole].join('\n ');
    const text = `${sense}\n obj: ${write(figure)}\nSubject To\n${rows.map((one, k) => ` r${k}:${one}`).join('\n')}\nBounds\n${bounds.join('\n')}\nBinary\n ${general}\nEnd\n`;
    const answer = highs.solve(text, { mip_rel_gap: 0, mip_abs_gap: 1e-6, output_flag: false });
    if (answer.Status === 'Infeasible') return null;
    if (answer.Status !== 'Optimal') throw new Error(`the engine ended with '${answer.Status}'`);
    const columns = answer.Columns as Record<string, { Primal: number }>;
    months = items.map((_, i) => {
      const month = buy[i]!.findIndex(
        (one, m) => one !== null && Math.round(columns[`x_${i}_${m}`]?.Primal ?? 0) === 1,
      );
      return month < 0 ? null : month;
    });
    return answer.ObjectiveValue + figure.constant;
  };
  const fewest = solve('Minimize', severe);
  if (fewest === null) return null;
  row(severe, '<=', fewest + 1e-4);
  const most = solve('Maximize', weighted)!;
  row(weighted, '>=', most - 1e-7 * Math.abs(most));
  const highest = solve('Maximize', mean)!;
  row(mean, '>=', highest - 1e-7 * Math.abs(highest));
  solve('Minimize', spend);
  const verdict = judge(problem, months);
  if (!verdict.feasible) throw new Error(`the exact program's plan breaks the rule '${verdict.because}'`);
  return verdict;
}
