import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { plainDate } from '../../src/calendar.ts';
import { FITTING_KINDS, type Fitting } from '../../src/collection.ts';
import { loadOf, OUTLET_RULES } from '../../src/load.ts';
import { OUTLET_RULE_NAMES, type Outlet, type OutletRuleName } from '../../src/rooms.ts';
import { makeFitting } from '../support/make.ts';

const planDate = plainDate('2026-01-15');

const outlet = (rule: Exclude<OutletRuleName, 'own'>, parts: Partial<Outlet> = {}): Outlet => ({
  id: 'o',
  name: 'socket by the window',
  roomId: null,
  rule,
  volts: OUTLET_RULES[rule].volts!,
  circuitAmps: OUTLET_RULES[rule].circuitAmps!,
  plugAmps: null,
  leadAmps: null,
  ...parts,
});
let made = 0;
const thing = (kind: Fitting['kind'], watts: number | null, parts: Partial<Fitting> = {}) =>
  makeFitting(kind, { id: String(++made), watts, outletId: 'o', ...parts });
const heaters = (count: number, watts: number) => Array.from({ length: count }, () => thing('ceramic-heater', watts));

describe('What an outlet may carry', () => {
  // Published: a 13 A plug at 230 V carries 2990 W and a lead of 10 A 2300 W (United Kingdom guidance). Second-hand: 80 % of 15 A at 120 V for
  // long use is 12 A, 1440 W, of 20 A 16 A, 1920 W (NFPA 70 in electricians' forums). From memory: 16 A at 230 V is 3680 W.
  test.each([
    ['uk', {}, 13, 2990, 'circuit'],
    ['uk', { leadAmps: 10 }, 10, 2300, 'lead'],
    ['uk', { circuitAmps: 32 }, 13, 2990, 'plug'],
    ['uk', { plugAmps: 3 }, 3, 690, 'plug'],
    ['us-15', {}, 12, 1440, 'circuit'],
    ['us-20', {}, 16, 1920, 'circuit'],
    ['eu', {}, 16, 3680, 'circuit'],
  ] as const)('By the rule %s with %j it is %d A, %d W, by its %s', (rule, parts, amps, watts, member) => {
    const load = loadOf(outlet(rule, parts), [], planDate);
    expect(load.limitAmps).toBeCloseTo(amps, 10);
    expect(load.limitWatts).toBeCloseTo(watts, 8);
    expect(load.limitedBy).toBe(member);
    expect(load.state).toBe('within');
  });

  // Published: cords of 16 AWG carry 13 A, 1560 W at 120 V, of 14 AWG 15 A; for long use 80 % of it.
  test('A thin lead limits a circuit of 15 A', () => {
    expect(loadOf(outlet('us-15', { leadAmps: 13 }), [], planDate)).toMatchObject({ limitedBy: 'lead' });
    expect(loadOf(outlet('us-15', { leadAmps: 13 }), [], planDate).limitWatts).toBeCloseTo(1560 * 0.8, 8);
    expect(loadOf(outlet('us-15', { leadAmps: 15 }), [], planDate).limitedBy).toBe('circuit');
  });

  test('Every rule tells its source', () => {
    for (const name of OUTLET_RULE_NAMES) expect(OUTLET_RULES[name].source.length).toBeGreaterThan(20);
  });

  test('Figures that are not above 0 are refused', () => {
    for (const parts of [{ volts: 0 }, { circuitAmps: 0 }, { plugAmps: -1 }, { leadAmps: Number.NaN }])
      expect(() => loadOf(outlet('uk', parts), [], planDate)).toThrow(RangeError);
  });
});

describe('The load of an outlet', () => {
  // Computed: 425 W are 1.85 A at 230 V and 3.54 A at 120 V; ten such, 4250 W, are over both 2990 W and 1440 W.
  test('Is the sum of watts over volts for things that warm by resistance', () => {
    expect(loadOf(outlet('uk'), heaters(1, 425), planDate).amps).toBeCloseTo(1.85, 2);
    expect(loadOf(outlet('us-15'), heaters(1, 425), planDate).amps).toBeCloseTo(3.54, 2);
    expect(loadOf(outlet('uk'), heaters(1, 425), planDate).state).toBe('within');
    for (const rule of ['uk', 'us-15'] as const) {
      const load = loadOf(outlet(rule), heaters(10, 425), planDate);
      expect(load).toMatchObject({ state: 'over', watts: 4250, reasons: [{ why: 'over-the-limit' }] });
    }
  });

  // Computed, with the assumed power factor of 0.6: a lamp of 24 W draws 0.174 A at 230 V and not 0.104 A.
  test('Counts a lamp with a ballast for more than its watts, and says that it assumes so', () => {
    const load = loadOf(outlet('uk'), [thing('uv-tube', 24), thing('basking-lamp', 24)], planDate);
    expect(load.draws[0]!.amps).toBeCloseTo(0.174, 3);
    expect(load.draws[0]!.assumed).toEqual(['power-factor']);
    expect(load.draws[1]!.amps).toBeCloseTo(0.104, 3);
    expect(load.draws[1]!.assumed).toEqual([]);
  });

  test('Calls for caution from 0.8 of the limit, and is over only beyond it', () => {
    const state = (watts: number) => loadOf(outlet('uk'), [thing('ceramic-heater', watts)], planDate).state;
    expect([state(2391), state(2392), state(2990), state(2991)]).toEqual(['within', 'caution', 'caution', 'over']);
  });

  test('Is never within while the watts of a thing are unknown', () => {
    const pump = thing('filter', null);
    const load = loadOf(outlet('uk'), [pump, ...heaters(1, 100)], planDate);
    expect(load.state).toBe('caution');
    expect(load.reasons).toEqual([{ why: 'watts-unknown', things: [{ fittingId: pump.id, name: pump.name }] }]);
    expect(loadOf(outlet('uk'), [pump, ...heaters(10, 425)], planDate).reasons.map((one) => one.why)).toEqual([
      'over-the-limit',
      'watts-unknown',
    ]);
  });

  test('Counts a thermostat without watts as a few, and things at full rating whatever their share of time', () => {
    const load = loadOf(outlet('uk'), [thing('thermostat', null), thing('heat-mat', 20, { duty: 0.3 })], planDate);
    expect(load).toMatchObject({ state: 'within', watts: 25 });
    expect(load.draws[0]!.assumed).toEqual(['power-factor', 'control-watts']);
  });

  test('Leaves out what is plugged in elsewhere, was retired or is fitted later', () => {
    const away = [
      thing('ceramic-heater', 100, { outletId: null }),
      thing('ceramic-heater', 100, { outletId: 'p' }),
      thing('ceramic-heater', 100, { retiredOn: planDate }),
      thing('ceramic-heater', 100, { fittedOn: plainDate('2026-02-01') }),
    ];
    expect(loadOf(outlet('uk'), away, planDate)).toMatchObject({ watts: 0, amps: 0, draws: [] });
  });

  test('Never becomes easier by a thing more', () => {
    const rank = { within: 0, caution: 1, over: 2 };
    const things = fc.record({
      kind: fc.constantFrom(...FITTING_KINDS),
      watts: fc.option(fc.integer({ min: 0, max: 1500 })),
    });
    const [seen, worsened] = [new Set<string>(), new Set<string>()];
    fc.assert(
      fc.property(
        fc.constantFrom('uk' as const, 'us-15' as const, 'us-20' as const, 'eu' as const),
        fc.array(things, { maxLength: 8 }),
        things,
        (rule, some, more) => {
          const made = [...some, more].map(({ kind, watts }) => thing(kind, watts));
          const [before, after] = [made.slice(0, -1), made].map((one) => loadOf(outlet(rule), one, planDate));
          expect(rank[after!.state]).toBeGreaterThanOrEqual(rank[before!.state]);
          expect(after!.amps).toBeGreaterThanOrEqual(before!.amps);
          seen.add(before!.state);
          if (after!.state !== before!.state) worsened.add(after!.state);
        },
      ),
      { numRuns: 400, seed: 7 },
    );
    expect([...seen].sort()).toEqual(['caution', 'over', 'within']);
    expect([...worsened].sort()).toEqual(['caution', 'over']);
  });
});
