// Signs against dates and percentages worked out by hand; the limits themselves are this ledger's own, as graded beside them.

import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { addDays, daysBetween, plainDate, plainMonth } from '../../src/calendar.ts';
import { money } from '../../src/money.ts';
import {
  ALARMS,
  alarmsOf,
  isLedIntoRest,
  openFlags,
  type RestAhead,
  restAhead,
  SIGN_KINDS,
  type Sign,
  vetCheckMissing,
  visitsInRest,
  weightChanges,
} from '../../src/signs.ts';

const day = plainDate('2026-01-15');

function sign(id: string, parts: Partial<Sign> = {}): Sign {
  return {
    id,
    animalId: '1',
    kind: 'appetite',
    notedOn: day,
    grams: null,
    alarm: null,
    worrying: false,
    setAside: null,
    settled: null,
    ...parts,
  };
}

function weighed(id: string, notedOn: string, grams: number, parts: Partial<Sign> = {}): Sign {
  return sign(id, { kind: 'weight', notedOn: plainDate(notedOn), grams, ...parts });
}

const settled = { on: day, how: 'vet-seen', paid: null } as const;

test('The change is a percentage of the earlier weight, with both dates and the days between', () => {
  const changes = weightChanges([weighed('1', '2025-12-01', 200), weighed('2', '2026-01-12', 190)]);
  expect(changes).toEqual({
    over: {
      from: { on: '2025-12-01', grams: 200 },
      to: { on: '2026-01-12', grams: 190 },
      days: 42,
      percent: -5,
    },
    fall: null,
  });
});

test('A fall is counted from the heaviest weight of the last twelve weeks, not from the first or the one before', () => {
  const changes = weightChanges([
    weighed('1', '2025-11-01', 400),
    weighed('3', '2026-01-01', 425),
    weighed('2', '2025-12-01', 450),
    weighed('4', '2026-01-12', 405),
  ]);
  expect(changes?.over).toMatchObject({ from: { grams: 400 }, percent: 1.25 });
  expect(changes?.fall).toMatchObject({ from: { on: '2025-12-01', grams: 450 }, percent: -10, days: 42 });
});

// 10 % of 100 g is 10 g; 12 weeks are 84 days, and 20 October 2025 lies 84 days before 12 January 2026.
test.each([
  ['2025-10-20', 100, 90, true],
  ['2025-10-20', 100, 90.1, false],
  ['2025-10-20', 33.3, 29.97, true],
  ['2025-10-19', 100, 50, false],
])('From %s, %d g falling to %d g is raised: %s', (from, before, after, raised) => {
  const changes = weightChanges([weighed('1', from, before), weighed('2', '2026-01-12', after)]);
  expect((changes?.fall ?? null) !== null).toBe(raised);
});

test('One weight, or none within twelve weeks before, is compared with nothing', () => {
  expect(weightChanges([])).toBeNull();
  expect(weightChanges([sign('9'), weighed('1', '2026-01-12', 90)])).toBeNull();
  expect(weightChanges([weighed('1', '2025-06-01', 100), weighed('2', '2026-01-12', 90)])).toBeNull();
});

test('Open worrying signs stand first, newest first, behind what cannot wait; others and settled ones are no flags', () => {
  const flags = openFlags([
    sign('old', { worrying: true, notedOn: plainDate('2025-12-01') }),
    sign('calm'),
    sign('new', { worrying: true, notedOn: plainDate('2026-01-10') }),
    sign('over', { worrying: true, settled }),
    sign('burn', { kind: 'injury', alarm: 'burn', notedOn: plainDate('2025-11-01') }),
  ]);
  expect(flags.map((one) => [one.sign.id, one.today])).toEqual([
    ['burn', true],
    ['new', false],
    ['old', false],
  ]);
});

test('A fall makes the last weighing a flag until that weighing is settled or the weight is back', () => {
  const before = weighed('1', '2025-12-01', 100);
  const fallen = weighed('2', '2026-01-10', 85);
  expect(openFlags([before, fallen])).toMatchObject([{ sign: { id: '2' }, today: false, fall: { percent: -15 } }]);
  expect(openFlags([before, { ...fallen, settled }])).toEqual([]);
  expect(openFlags([before, fallen, weighed('3', '2026-01-14', 95)])).toEqual([]);
});

test('However signs are mixed, each flag is open and worrying, an alarm or a fall, and the order holds', () => {
  let flagged = 0;
  fc.assert(
    fc.property(
      fc.array(
        fc.record({
          kind: fc.constantFrom(...SIGN_KINDS),
          back: fc.integer({ min: 0, max: 200 }),
          grams: fc.integer({ min: 1, max: 500 }),
          alarm: fc.option(fc.constantFrom(...ALARMS)),
          worrying: fc.boolean(),
          open: fc.boolean(),
        }),
        { maxLength: 12 },
      ),
      (made) => {
        const signs = made.map((one, index) =>
          sign(String(index), {
            kind: one.kind,
            notedOn: addDays(day, -one.back),
            grams: one.kind === 'weight' ? one.grams : null,
            alarm: one.alarm,
            worrying: one.worrying,
            settled: one.open ? null : settled,
          }),
        );
        const flags = openFlags(signs);
        flagged += flags.length;
        const own = signs.filter((one) => one.settled === null && (one.worrying || one.alarm !== null));
        const ids = new Set(flags.map((one) => one.sign.id));
        for (const one of own) expect(ids.has(one.id)).toBe(true);
        for (const one of flags) {
          expect(one.sign.settled).toBeNull();
          expect(one.sign.worrying || one.sign.alarm !== null || one.fall !== null).toBe(true);
        }
        for (const [index, one] of flags.entries()) {
          const next = flags[index + 1];
          if (next === undefined) continue;
          expect(Number(one.today)).toBeGreaterThanOrEqual(Number(next.today));
          if (one.today === next.today)
            expect(daysBetween(next.sign.notedOn, one.sign.notedOn)).toBeGreaterThanOrEqual(0);
        }
      },
    ),
  );
  expect(flagged).toBeGreaterThan(100);
});

test.each<[string, number, number, RestAhead | null]>([
  ['2026-01-15', 11, 2, { season: 'winter-rest', begins: null }],
  // From 2 October to 1 December there are 60 days, from the first 61.
  ['2026-10-02', 12, 2, { season: 'winter-rest', begins: plainDate('2026-12-01') }],
  ['2026-10-01', 12, 2, null],
  ['2025-12-20', 1, 2, { season: 'winter-rest', begins: plainDate('2026-01-01') }],
  ['2026-03-01', 11, 2, null],
])('On %s, a winter rest from month %d to %d gives %j', (on, fromMonth, toMonth, expected) => {
  expect(restAhead([{ season: 'winter-rest', fromMonth, toMonth }], plainDate(on))).toEqual(expected);
});

test('Of several seasons the one that holds comes first, then the nearest; without a dated one there is none', () => {
  const cooling = { season: 'cooling', fromMonth: 11, toMonth: 11 } as const;
  const rest = { season: 'winter-rest', fromMonth: 12, toMonth: 2 } as const;
  expect(restAhead([rest, cooling], plainDate('2026-10-20'))).toEqual({ season: 'cooling', begins: '2026-11-01' });
  expect(restAhead([cooling, rest], plainDate('2026-12-20'))).toEqual({ season: 'winter-rest', begins: null });
  expect(restAhead([], day)).toBeNull();
});

test('Every alarm can be named under the kind that fits it, and under other', () => {
  for (const alarm of ALARMS) {
    const kinds = SIGN_KINDS.filter((kind) => alarmsOf[kind].includes(alarm));
    expect(kinds.length, alarm).toBeGreaterThan(1);
    expect(kinds).toContain('other');
  }
});

// Within 12 months: common practice, no source.
describe('A vet check before a dated season', () => {
  const rest = [{ season: 'winter-rest' as const, fromMonth: 12, toMonth: 2 }];
  const missing = (checkedOn: string | null, on: string, seasons: Parameters<typeof vetCheckMissing>[0] = rest) =>
    vetCheckMissing(seasons, checkedOn === null ? null : plainDate(checkedOn), plainDate(on));

  test('is missing where none is entered, and asked of nobody without a dated season', () => {
    expect(missing(null, '2026-06-10')).toBe('never');
    expect(missing(null, '2026-06-10', [])).toBeNull();
    expect(missing('2020-01-01', '2026-06-10', [])).toBeNull();
  });

  test('holds for 12 months to the day', () => {
    expect(missing('2025-06-10', '2026-06-10')).toBeNull();
    expect(missing('2025-06-09', '2026-06-10')).toBe('too-old');
  });

  test('has to hold on the day on which a season begins that is near', () => {
    // The rest begins on 1 December, 41 days after 21 October.
    expect(missing('2025-11-20', '2026-10-21')).toBe('too-old');
    expect(missing('2025-12-01', '2026-10-21')).toBeNull();
    expect(missing('2025-11-20', '2026-09-01')).toBeNull();
  });
});

// Six weeks before a dated winter rest: from memory, as the constant says.
test('An animal is led into its dated winter rest from six weeks before until its end, and no other season counts', () => {
  const rest = [{ season: 'winter-rest' as const, fromMonth: 12, toMonth: 2 }];
  const led = (on: string, seasons = rest) => isLedIntoRest(seasons, ['winter-rest', 'cooling'], plainDate(on));
  expect([led('2026-10-19'), led('2026-10-20'), led('2027-01-15'), led('2027-03-01')]).toEqual([
    false,
    true,
    true,
    false,
  ]);
  expect(isLedIntoRest([{ season: 'cooling', fromMonth: 12, toMonth: 2 }], ['cooling'], plainDate('2026-11-27'))).toBe(
    false,
  );
  expect(isLedIntoRest(rest, [], plainDate('2026-11-27'))).toBe(false);
});

test('A visit to the vet in the months of a dated rest is found, by what is kept back and by what is entered for the animal by name', () => {
  const seasons = [{ season: 'winter-rest' as const, fromMonth: 12, toMonth: 2 }];
  const [november, january] = [plainMonth('2026-11'), plainMonth('2027-01')];
  const sum = (note: string, month = january, amount = -45_00) => ({ note, month, amount: money(amount) });
  const found = (
    sums: Parameters<typeof visitsInRest>[3],
    kept: Parameters<typeof visitsInRest>[2] = [],
    on = plainDate('2026-11-27'),
    known: Parameters<typeof visitsInRest>[1] = ['winter-rest'],
  ) => visitsInRest({ name: 'Telha', seasons }, known, kept, sums, on).map(({ month, note }) => [month, note]);
  const check = 'Yearly check at the reptile vet, Telha';
  expect(found([sum(check)])).toEqual([[january, check]]);
  expect(
    found([
      ...[sum(check, november), sum('Vet check, Ember'), sum('Telha, food'), sum(check, january, 45_00)],
      sum('Vet check, Telham'),
    ]),
  ).toEqual([]);
  expect(found([sum('TELHA’s vet')])).toEqual([[january, 'TELHA’s vet']]);
  expect(found([sum(check)], [], plainDate('2026-11-27'), ['cooling'])).toEqual([]);
  const kept = { setAside: { amount: money(20_00), month: november }, settled: null };
  expect(found([], [kept])).toEqual([]);
  // What is not settled is kept back in the present month.
  expect(found([], [kept], plainDate('2026-12-05'))).toEqual([[plainMonth('2026-12'), null]]);
  const settled = { on: plainDate('2026-12-01'), how: 'vet-seen' as const, paid: null };
  expect(found([], [{ ...kept, settled }], plainDate('2026-12-05'))).toEqual([]);
});
