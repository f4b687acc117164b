import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  type Dimension,
  formatArea,
  formatQuantity,
  formatSize,
  formatSpan,
  formatTyped,
  parseQuantity,
  typedQuantity,
  type UnitSystem,
  withMeasuresIn,
  withTemperaturesIn,
} from '../../src/units.ts';

const read = (typed: string, dimension: Dimension, system: UnitSystem = 'metric') => {
  const outcome = parseQuantity(typed, dimension, system);
  if (outcome.status === 'bad') throw new Error(`${typed} was refused: ${outcome.fault}`);
  return outcome.quantity.value;
};

describe('Conversions', () => {
  // Exact by definition: NIST SP 811, appendix B (1 in = 25.4 mm, 1 ft = 0.3048 m, 1 US gallon = 3.785411784 l).
  test.each([
    ['12 in', 'length', 304.8],
    ['1 ft', 'length', 304.8],
    ['1 m', 'length', 1000],
    ['10 in', 'length', 254],
    ['2.5"', 'length', 63.5],
    ['1 gal', 'volume', 3.785411784],
    // The international avoirdupois pound of 1959, 0.45359237 kg exactly, of 16 ounces: NIST SP 811, appendix B.
    ['1 lb', 'mass', 453.59237],
    ['1 oz', 'mass', 28.349523125],
    ['16 oz', 'mass', 453.59237],
    ['1,5 kg', 'mass', 1500],
    ['-22 °F', 'temperature', -30],
    ['95F', 'temperature', 35],
    ['32 f', 'temperature', 0],
    ['212 °F', 'temperature', 100],
  ] as const)('%s is %d', (typed, dimension, kept) => {
    expect(read(typed, dimension)).toBe(kept);
  });

  // The notes on physics, section F.
  test('80 °F is 26.667 °C and a difference of 10 °F is 5.556 °C, which is not the temperature of 10 °F', () => {
    expect(read('80F', 'temperature')).toBeCloseTo(26.667, 3);
    expect(read('10 F', 'temperature-difference')).toBeCloseTo(5.556, 3);
    expect(read('10 F', 'temperature')).toBeCloseTo(-12.222, 3);
    expect(formatQuantity(5.5555555556, 'temperature-difference', 'imperial')).toBe('10 °F');
  });

  test('Every whole millimetre from 2 to 999 survives being written in inches and read again', () => {
    let checked = 0;
    for (let mm = 2; mm <= 999; mm++) {
      expect(read(`${(mm / 25.4).toFixed(6)} in`, 'length')).toBeCloseTo(mm, 4);
      expect(read(typedQuantity(mm, 'length', 'imperial'), 'length', 'imperial')).toBe(mm);
      checked += 1;
    }
    expect(checked).toBe(998);
  });
});

describe('Reading what was typed', () => {
  test.each([
    ['1,5 m', 'length', 1500],
    ['1.5m', 'length', 1500],
    ['  45  ', 'length', 450],
    ['4′', 'length', 1219.2],
    ['４５', 'length', 450],
    ['−5', 'temperature', -5],
    ['78f', 'temperature', 25.555555556],
    ['40 % RH', 'humidity', 40],
    ['40%', 'humidity', 40],
    ['3 UVI', 'uv-index', 3],
    ['0', 'uv-index', 0],
    ['12 months', 'months', 12],
    ['0,5', 'hours', 0.5],
    ['90 min', 'hours', 1.5],
    ['2 hours', 'hours', 2],
    ['30 centimeters', 'length', 300],
    ['1,1234 m', 'length', 1123.4],
    ['0,125 in', 'length', 3.175],
  ] as const)('%j is %d', (typed, dimension, kept) => {
    expect(read(typed, dimension)).toBe(kept);
  });

  test.each([
    ['', 'length', 'empty'],
    [' ', 'length', 'empty'],
    ['long', 'length', 'not-a-number'],
    ['1.234,5', 'length', 'not-a-number'],
    ['1,234,567', 'length', 'not-a-number'],
    ['1.2.3', 'length', 'not-a-number'],
    ['1-2', 'length', 'not-a-number'],
    ['1e3', 'length', 'wrong-unit'],
    ['90×45×45', 'length', 'several-numbers'],
    ['18 by 18 by 24', 'length', 'several-numbers'],
    ['6O%', 'humidity', 'letter-for-digit'],
    ['l2', 'length', 'letter-for-digit'],
    ['5 long', 'length', 'wrong-unit'],
    ['Infinity', 'length', 'not-a-number'],
    ['NaN', 'length', 'not-a-number'],
    ['1,200', 'length', 'ambiguous-comma'],
    ['1,200 mm', 'length', 'ambiguous-comma'],
    ['5 kg', 'length', 'wrong-unit'],
    ['5 in', 'temperature', 'wrong-unit'],
    ['5 constructor', 'length', 'wrong-unit'],
    ['0', 'length', 'out-of-range'],
    ['-3', 'length', 'out-of-range'],
    ['20.001 m', 'length', 'out-of-range'],
    ['101', 'humidity', 'out-of-range'],
    ['-31', 'temperature', 'out-of-range'],
    ['25', 'hours', 'out-of-range'],
  ] as const)('%j of a %s is refused as %s', (typed, dimension, fault) => {
    expect(parseQuantity(typed, dimension, 'metric')).toMatchObject({ status: 'bad', fault });
  });

  // 1 ft = 304.8 mm and 1 in = 25.4 mm exactly (NIST SP 811, appendix B).
  test.each([
    [`1' 6"`, 457.2],
    ['1’6”', 457.2],
    ['5 ft 8 in', 1727.2],
    ["5'8", 1727.2],
    ['4′ 0.5″', 1231.9],
    ['18”', 457.2],
    ['24″', 609.6],
    ['2’', 609.6],
  ] as const)('%j, as a tape in feet and inches or a phone writes it, is %d mm', (typed, mm) => {
    expect(parseQuantity(typed, 'length', 'imperial')).toEqual({
      status: 'ok',
      quantity: { value: mm, typed: typed.normalize('NFKC') },
    });
  });

  test.each([`1' 12"`, `1" 6'`, '1 ft 6 cm', '5 8', `1' -6"`])('%j is no length in feet and inches', (typed) => {
    expect(parseQuantity(typed, 'length', 'imperial').status).toBe('bad');
  });

  test('A number without a unit takes the unit of the keeper, and the unit is kept with it', () => {
    expect(parseQuantity('48', 'length', 'imperial')).toEqual({
      status: 'ok',
      quantity: { value: 1219.2, typed: '48 in' },
    });
    expect(parseQuantity('48', 'length', 'metric')).toEqual({ status: 'ok', quantity: { value: 480, typed: '48 cm' } });
    expect(parseQuantity('78', 'temperature', 'imperial')).toMatchObject({ quantity: { typed: '78 °F' } });
    expect(parseQuantity('10 in', 'length', 'metric')).toMatchObject({ quantity: { value: 254, typed: '10 in' } });
  });

  test('What was kept as typed reads as the same value whatever system the keeper chooses later', () => {
    let typedBare = 0;
    const dimensions = fc.constantFrom<Dimension>('temperature', 'temperature-difference', 'length', 'volume');
    const systems = fc.constantFrom<UnitSystem>('metric', 'imperial');
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 4000 }),
        dimensions,
        systems,
        systems,
        (tenths, dimension, first, later) => {
          const typed = String(tenths / 100);
          const read = parseQuantity(typed, dimension, first);
          if (read.status === 'bad') return;
          expect(parseQuantity(read.quantity.typed, dimension, later)).toEqual(read);
          if (first !== later) typedBare += 1;
        },
      ),
      { numRuns: 400 },
    );
    expect(typedBare).toBeGreaterThan(50);
  });

  test('A value written to be typed again reads back exactly, in both systems', () => {
    let exact = 0;
    const millimetres = fc.oneof(
      fc.integer({ min: 1, max: 20_000 }),
      fc.integer({ min: 1, max: 3000 }).map((quarters) => Math.round(((quarters * 25.4) / 4) * 1e9) / 1e9),
    );
    fc.assert(
      fc.property(millimetres, fc.constantFrom<UnitSystem>('metric', 'imperial'), (mm, system) => {
        expect(read(typedQuantity(mm, 'length', system), 'length', system)).toBe(mm);
        exact += 1;
      }),
      { numRuns: 500 },
    );
    expect(exact).toBeGreaterThan(100);
    expect(typedQuantity(254, 'length', 'imperial')).toBe('10 in');
    expect(typedQuantity(304.8, 'length', 'metric')).toBe('30.48 cm');
    expect(typedQuantity(300, 'length', 'imperial')).toBe('300 mm');
  });

  test('No text at all makes it throw', () => {
    let [taken, refused] = [0, 0];
    const near = fc.string({ unit: fc.constantFrom(...'0123456789.,-+ cminft°FC%"'), maxLength: 10 });
    fc.assert(
      fc.property(
        fc.oneof(fc.string(), near),
        fc.constantFrom<Dimension>('length', 'temperature', 'humidity'),
        (typed, dimension) => {
          if (parseQuantity(typed, dimension, 'metric').status === 'ok') taken += 1;
          else refused += 1;
        },
      ),
      { numRuns: 1000 },
    );
    expect(Math.min(taken, refused)).toBeGreaterThan(10);
  });
});

describe('Writing', () => {
  test.each([
    [1219.2, 'length', 'imperial', '48 in'],
    [1219.2, 'length', 'metric', '121.9 cm'],
    [600, 'length', 'imperial', '23.6 in'],
    [463.55, 'length', 'imperial', '18.25 in'],
    [30, 'length', 'imperial', '1.18 in'],
    [35, 'temperature', 'imperial', '95 °F'],
    [26.6666, 'temperature', 'metric', '26.7 °C'],
    [-0.01, 'temperature', 'metric', '0 °C'],
    [50, 'humidity', 'imperial', '50 %'],
    [2.56, 'uv-index', 'metric', '2.6'],
    [12, 'months', 'metric', '12 months'],
  ] as const)('%d as %s for a keeper of %s units is %s', (value, dimension, system, text) => {
    expect(formatQuantity(value, dimension, system)).toBe(text);
  });

  test('A span carries its unit once, and equal ends are written once', () => {
    expect(formatSpan(28, 32, 'temperature', 'metric')).toBe('28 to 32 °C');
    expect(formatSpan(28, 32, 'temperature', 'imperial')).toBe('82 to 90 °F');
    expect(formatSpan(40, 60, 'humidity', 'metric')).toBe('40 to 60 %');
    expect(formatSpan(28, 28, 'temperature', 'metric')).toBe('28 °C');
    expect(formatSpan(0.7, 1, 'uv-index', 'metric')).toBe('0.7 to 1');
  });

  // 30 cm are 11.81 in and 2 °C are 3.6 °F (1 in = 2.54 cm exactly, NIST SP 811, appendix B).
  test('Measures in the names of the catalogue are written in the keeper’s units, and other numbers stay', () => {
    const tube = 'T5 UV-B tube, 24 W, 55 cm lit, UVI 3.0 at 30 cm bare';
    expect(withMeasuresIn(tube, 'metric')).toBe(tube);
    expect(withMeasuresIn(tube, 'imperial')).toBe('T5 UV-B tube, 24 W, 21.7 in lit, UVI 3.0 at 11.8 in bare');
    expect(withMeasuresIn('Glass tank, 150 x 75 x 60 cm', 'imperial')).toBe('Glass tank, 59.1 x 29.5 x 23.6 in');
    expect(withMeasuresIn('Surface thermometer, infrared, ±2 °C', 'imperial')).toBe(
      'Surface thermometer, infrared, ±4 °F',
    );
  });

  test('What was typed comes back as typed, with its value beside it where the unit is not the keeper’s', () => {
    expect(formatTyped({ value: 37, typed: '37 °C' }, 'temperature', 'imperial')).toBe('37 °C (99 °F)');
    expect(formatTyped({ value: 37, typed: '37 °C' }, 'temperature', 'imperial-celsius')).toBe('37 °C');
    expect(formatTyped({ value: 254, typed: '10in' }, 'length', 'metric')).toBe('10in (25.4 cm)');
    expect(formatTyped({ value: 1727.2, typed: `5' 8"` }, 'length', 'metric')).toBe(`5' 8" (172.7 cm)`);
    expect(formatTyped({ value: 1500, typed: '1,5 m' }, 'length', 'metric')).toBe('1,5 m');
    expect(formatTyped({ value: 2.5, typed: '2.5' }, 'uv-index', 'imperial')).toBe('2.5');
    expect(formatTyped({ value: 30, typed: '' }, 'temperature', 'imperial')).toBe('86 °F');
  });

  test('A caution keeps its degrees and says them in the keeper’s, to the tenth so that no limit is passed', () => {
    const caution = 'Amphibians must never stay above 26 °C.';
    expect(withTemperaturesIn(caution, 'metric')).toBe(caution);
    expect(withTemperaturesIn(caution, 'imperial')).toBe('Amphibians must never stay above 26 °C (78.8 °F).');
    expect(withTemperaturesIn('±2 °C', 'imperial')).toBe('±2 °C');
  });

  // 1 square foot is 0.09290304 m² exactly (NIST SP 811, appendix B).
  test('Areas and sizes are written in the keeper’s units', () => {
    expect(formatArea(0.54, 'metric')).toBe('0.54 m²');
    expect(formatArea(0.54, 'imperial')).toBe('5.8 sq ft');
    expect(formatArea(0.09290304, 'imperial')).toBe('1 sq ft');
    expect(formatSize(900, 450, 450, 'metric')).toBe('90 × 45 × 45 cm');
    expect(formatSize(1219.2, 609.6, 609.6, 'imperial')).toBe('48 × 24 × 24 in');
  });
});

test('Degrees are written and read apart from the other units', () => {
  expect(formatQuantity(30, 'temperature', 'imperial-celsius')).toBe('30 °C');
  expect(formatQuantity(254, 'length', 'imperial-celsius')).toBe('10 in');
  expect(formatQuantity(30, 'temperature', 'metric-fahrenheit')).toBe('86 °F');
  expect(formatQuantity(254, 'length', 'metric-fahrenheit')).toBe('25.4 cm');
  expect(parseQuantity('86', 'temperature', 'metric-fahrenheit')).toMatchObject({ quantity: { value: 30 } });
  expect(parseQuantity('10', 'length', 'metric-fahrenheit')).toMatchObject({ quantity: { value: 100 } });
  expect(withMeasuresIn('Probe, ±1 °C, 30 cm', 'metric-fahrenheit')).toBe('Probe, ±2 °F, 30 cm');
  expect(withMeasuresIn('Probe, ±1 °C, 30 cm', 'imperial-celsius')).toBe('Probe, ±1 °C, 11.8 in');
});
