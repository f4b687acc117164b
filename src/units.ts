// Measured quantities: the one unit each is kept in, the units a keeper may type, the range that is believable, and how each is
// written. Keeps what was typed beside what it means, so that '10 in' comes back as '10 in'.

/**
 * What is measured. Temperatures are kept in degrees Celsius (a difference converts without the offset), lengths in millimetres, power
 * in watts, humidity in % RH, water in litres, mass in grams.
 */
export type Dimension =
  | 'temperature'
  | 'temperature-difference'
  | 'length'
  | 'position'
  | 'power'
  | 'hours'
  | 'humidity'
  | 'uv-index'
  | 'months'
  | 'count'
  | 'volume'
  | 'share'
  | 'mass';

/** The dimension of how far a value may be wrong: an error of a temperature is a difference, which converts without the offset. */
export function errorDimensionOf(dimension: Dimension): Dimension {
  return dimension === 'temperature' ? 'temperature-difference' : dimension;
}

/** The units of lengths, volumes and masses a keeper prefers: metric, or those customary in the United States. */
export type Measures = 'metric' | 'imperial';

/** The degrees a keeper prefers: Celsius or Fahrenheit. */
export type Degrees = 'C' | 'F';

/** The units of measure a keeper prefers; degrees are named where they are not those usually used with the other units. */
export type UnitSystem = Measures | 'metric-fahrenheit' | 'imperial-celsius';

/** The units of a keeper, from what is chosen of each. */
export function unitSystemOf(measures: Measures, degrees: Degrees): UnitSystem {
  if (measures === 'metric') return degrees === 'C' ? 'metric' : 'metric-fahrenheit';
  return degrees === 'F' ? 'imperial' : 'imperial-celsius';
}

/** In which units a keeper wants lengths, volumes and masses. */
export function measuresOf(system: UnitSystem): Measures {
  return system === 'metric' || system === 'metric-fahrenheit' ? 'metric' : 'imperial';
}

/** In which degrees a keeper wants temperatures and their differences. */
export function degreesOf(system: UnitSystem): Degrees {
  return system === 'metric' || system === 'imperial-celsius' ? 'C' : 'F';
}

const keptUnits: Readonly<Record<Dimension, string>> = {
  temperature: '°C',
  'temperature-difference': '°C',
  length: 'mm',
  position: 'mm',
  power: 'W',
  hours: 'h',
  humidity: '%',
  'uv-index': 'UVI',
  months: 'months',
  count: '',
  volume: 'l',
  share: '',
  mass: 'g',
};

/** The sign of the unit a dimension is kept in; empty for a plain number. */
export function keptUnit(dimension: Dimension): string {
  return keptUnits[dimension];
}

/** A value in the unit its dimension is kept in, with the text and unit it was typed in. */
export type Quantity = { value: number; typed: string };

/** Why a typed quantity could not be read. */
export type QuantityFault =
  | { fault: 'empty' }
  | { fault: 'not-a-number' }
  | { fault: 'several-numbers' }
  | { fault: 'letter-for-digit' }
  | { fault: 'ambiguous-comma' }
  | { fault: 'wrong-unit'; accepted: string[] }
  | { fault: 'out-of-range'; low: string; high: string };

type Unit = {
  names: string[];
  show: string;
  toKept: (value: number) => number;
  fromKept: (value: number) => number;
  decimals: number;
};

const INCH = 25.4; // exact, NIST SP 811 appendix B
const FOOT = 304.8; // exact, NIST SP 811 appendix B
const US_GALLON = 3.785411784; // exact, NIST SP 811 appendix B
const POUND = 453.59237; // exact, the international avoirdupois pound of 1959; NIST SP 811 appendix B

const scaled = (names: string[], show: string, factor: number, decimals: number): Unit => ({
  names,
  show,
  toKept: (value) => value * factor,
  fromKept: (value) => value / factor,
  decimals,
});

const celsius: Unit = scaled(['c', '°c', 'celsius'], '°C', 1, 1);
const fahrenheit: Unit = {
  names: ['f', '°f', 'fahrenheit'],
  show: '°F',
  toKept: (value) => ((value - 32) * 5) / 9,
  fromKept: (value) => (value * 9) / 5 + 32,
  decimals: 0,
};
const celsiusDegree = scaled(['c', '°c', 'celsius', 'k'], '°C', 1, 1);
const fahrenheitDegree = scaled(['f', '°f', 'fahrenheit'], '°F', 5 / 9, 0);
const centimetre = scaled(['cm', 'centimetre', 'centimetres', 'centimeter', 'centimeters'], 'cm', 10, 1);
const millimetre = scaled(['mm', 'millimetre', 'millimetres', 'millimeter', 'millimeters'], 'mm', 1, 0);
const metre = scaled(['m', 'metre', 'metres', 'meter', 'meters'], 'm', 1000, 2);
// Phones write curly quotes for the straight ones; NFKC makes two primes of a double prime.
const inch = scaled(['in', '"', '”', '“', '′′', "''", '’’', 'inch', 'inches'], 'in', INCH, 2);
const foot = scaled(['ft', "'", '’', '‘', '′', 'foot', 'feet'], 'ft', FOOT, 2);
const watt = scaled(['w', 'watt', 'watts'], 'W', 1, 0);
const hour = scaled(['h', 'hr', 'hrs', 'hour', 'hours'], 'h', 1, 1);
const minute = scaled(['min', 'mins', 'minute', 'minutes'], 'min', 1 / 60, 0);
const month = scaled(['month', 'months', 'mo'], 'months', 1, 0);
const percent = scaled(['%', '% rh', '%rh', 'rh', 'percent'], '%', 1, 0);
const index = scaled(['uvi'], '', 1, 1);
const litre = scaled(['l', 'litre', 'litres', 'liter', 'liters'], 'l', 1, 1);
const gallon = scaled(['gal', 'gallon', 'gallons'], 'gal', US_GALLON, 1);
const gram = scaled(['g', 'gram', 'grams', 'gramme', 'grammes'], 'g', 1, 2);
const kilogram = scaled(['kg', 'kilogram', 'kilograms'], 'kg', 1000, 3);
const ounce = scaled(['oz', 'ounce', 'ounces'], 'oz', POUND / 16, 2);
const pound = scaled(['lb', 'lbs', 'pound', 'pounds'], 'lb', POUND, 3);
const plain = scaled([], '', 1, 0);

const ofTheUnitedStates = new Set([fahrenheit, fahrenheitDegree, inch, foot, gallon, ounce, pound]);

const table: Record<Dimension, { metric: Unit; imperial: Unit; accepted: Unit[]; low: number; high: number }> = {
  temperature: { metric: celsius, imperial: fahrenheit, accepted: [celsius, fahrenheit], low: -30, high: 120 },
  'temperature-difference': {
    metric: celsiusDegree,
    imperial: fahrenheitDegree,
    accepted: [celsiusDegree, fahrenheitDegree],
    low: 0,
    high: 50,
  },
  length: {
    metric: centimetre,
    imperial: inch,
    accepted: [millimetre, centimetre, metre, inch, foot],
    low: 1,
    high: 20_000,
  },
  // A place in a box may be at its very wall or floor.
  position: {
    metric: centimetre,
    imperial: inch,
    accepted: [millimetre, centimetre, metre, inch, foot],
    low: 0,
    high: 20_000,
  },
  power: { metric: watt, imperial: watt, accepted: [watt], low: 0, high: 5_000 },
  hours: { metric: hour, imperial: hour, accepted: [hour, minute], low: 0, high: 24 },
  humidity: { metric: percent, imperial: percent, accepted: [percent], low: 0, high: 100 },
  'uv-index': { metric: index, imperial: index, accepted: [index], low: 0, high: 60 },
  months: { metric: month, imperial: month, accepted: [month], low: 1, high: 600 },
  count: { metric: plain, imperial: plain, accepted: [plain], low: 0, high: 99 },
  volume: { metric: litre, imperial: gallon, accepted: [litre, gallon], low: 0, high: 20_000 },
  share: { metric: percent, imperial: percent, accepted: [percent], low: 0, high: 100 },
  // From a newly changed frog to the largest tortoise.
  mass: { metric: gram, imperial: ounce, accepted: [gram, kilogram, ounce, pound], low: 0.01, high: 500_000 },
};

/**
 * Reads a typed quantity: a number with '.' or ',' as decimal mark and, optionally, one of the dimension's units ('78F', '1,5 m',
 * '24 in', or feet with inches: 5' 8"). Without a unit the keeper's system decides (cm or inches, °C or °F). A comma before exactly three
 * digits is refused, because it may separate thousands.
 */
export function parseQuantity(
  typed: string,
  dimension: Dimension,
  system: UnitSystem,
): { status: 'ok'; quantity: Quantity } | ({ status: 'bad' } & QuantityFault) {
  const text = typed
    .normalize('NFKC')
    .trim()
    .replace(/\u2212/gu, '-');
  if (text === '') return { status: 'bad', fault: 'empty' };
  if (hasRaisedDigit(typed)) return { status: 'bad', fault: 'not-a-number' };
  const rule = table[dimension];
  if (rule.accepted.includes(foot)) {
    const value = feetAndInches(text);
    if (value !== null) return withinRange(value, text, rule, unitFor(dimension, system));
  }
  const match = /^([+-]?\d{1,7}(?:[.,]\d{1,6})?)\s*([^\s\d.,+-].*)?$/su.exec(text);
  if (match === null) return { status: 'bad', fault: slipIn(text) ?? 'not-a-number' };
  // '1,200 mm' is 1200 to one keeper and 1.2 to another; a wrong guess would be off a thousandfold.
  if (/^[+-]?[1-9]\d{0,2},\d{3}$/.test(match[1]!)) return { status: 'bad', fault: 'ambiguous-comma' };
  const unitText = (match[2] ?? '').trim().toLowerCase();
  const unit =
    unitText === '' ? unitFor(dimension, system) : rule.accepted.find((known) => known.names.includes(unitText));
  if (unit === undefined) {
    const slip = slipIn(text);
    if (slip !== null) return { status: 'bad', fault: slip };
    return {
      status: 'bad',
      fault: 'wrong-unit',
      accepted: rule.accepted.map((known) => known.show).filter((name) => name !== ''),
    };
  }
  const value = tidy(unit.toKept(Number(match[1]!.replace(',', '.'))));
  const keptText = unitText === '' && unit.show !== '' ? `${match[1]} ${unit.show}` : text;
  return withinRange(value, keptText, rule, unitFor(dimension, system));
}

/** What a plain whole number counts, where a keeper may name another unit of the same thing: 90 minutes are 1.5 h. */
export type Counted = 'minutes' | 'weeks' | 'months' | 'percent';

// How many of the counted unit one of each named unit is. A month is no whole number of weeks, so that neither is changed into the other.
const countedUnits: Readonly<Record<Counted, readonly { names: readonly string[]; is: number; show: string }[]>> = {
  minutes: [
    { names: minute.names, is: 1, show: 'minutes' },
    { names: hour.names, is: 60, show: 'hours' },
  ],
  weeks: [
    { names: ['w', 'wk', 'wks', 'week', 'weeks'], is: 1, show: 'weeks' },
    { names: ['d', 'day', 'days'], is: 1 / 7, show: 'days' },
  ],
  months: [
    { names: month.names, is: 1, show: 'months' },
    { names: ['y', 'yr', 'yrs', 'year', 'years'], is: 12, show: 'years' },
  ],
  percent: [{ names: percent.names, is: 1, show: '%' }],
};

/** The units in which a whole number may be typed, the one it counts first. */
export function unitsOfCount(counted: Counted): string[] {
  return countedUnits[counted].map((one) => one.show);
}

/**
 * A whole number as it is typed with its unit ('90 min', '1.5 h', '2 years') or several ('1 h 30 min'), in the counted unit; null for text
 * without a unit, in another unit, or that is no whole number of it.
 */
export function parseCounted(typed: string, counted: Counted): number | null {
  const text = typed.normalize('NFKC').trim().toLowerCase();
  if (hasRaisedDigit(typed) || !/^(?:\d{1,6}(?:[.,]\d{1,2})? ?(?:[a-z]+|%) ?){1,2}$/.test(text)) return null;
  let total = 0;
  for (const [, number, name] of text.matchAll(/(\d+(?:[.,]\d+)?) ?([a-z]+|%)/g)) {
    const unit = countedUnits[counted].find((one) => one.names.includes(name!));
    if (unit === undefined) return null;
    total += Number(number!.replace(',', '.')) * unit.is;
  }
  const whole = tidy(total);
  return Number.isInteger(whole) ? whole : null;
}

// '90x45x45' and '18 by 24' where one field was taken for all, and '6O %' as it stands on a slip of paper.
function slipIn(text: string): 'several-numbers' | 'letter-for-digit' | null {
  if (/\d\s*(?:x|×|\*|by)\s*\d/i.test(text)) return 'several-numbers';
  return /\d[ol]|[ol]\d/i.test(text) ? 'letter-for-digit' : null;
}

/**
 * Whether a text holds a digit or a number in a form of its own (10², ½, ①): Unicode's plain form would make 102 of the first, which nobody
 * typed. Full-width digits are digits like any other.
 */
export function hasRaisedDigit(text: string): boolean {
  return /\p{No}/u.test(text);
}

function withinRange(
  value: number,
  typed: string,
  rule: (typeof table)[Dimension],
  shown: Unit,
): ReturnType<typeof parseQuantity> {
  if (value >= rule.low && value <= rule.high) return { status: 'ok', quantity: { value, typed } };
  return {
    status: 'bad',
    fault: 'out-of-range',
    low: writeIn(rule.low, shown),
    high: writeIn(rule.high, shown),
  };
}

// 5' 8" or '1 ft 6 in', as a tape in feet is read, in millimetres; null for any other text.
function feetAndInches(text: string): number | null {
  const match = /^(\d{1,3})\s*([^\d.,+\s-]+)\s*(\d{1,2}(?:[.,]\d{1,4})?)\s*([^\d.,+\s-]*)$/u.exec(text.toLowerCase());
  if (match === null || !foot.names.includes(match[2]!)) return null;
  if (match[4] !== '' && !inch.names.includes(match[4]!)) return null;
  const inches = Number(match[3]!.replace(',', '.'));
  return inches < 12 ? tidy(Number(match[1]) * FOOT + inches * INCH) : null;
}

/** The name of the unit in which a keeper types a dimension without naming one, as a hint says it: 'cm', 'inches', '°F', 'oz'. */
export function unitName(dimension: Dimension, system: UnitSystem): string {
  const unit = unitFor(dimension, system);
  return unit === inch ? 'inches' : unit.show;
}

function unitFor(dimension: Dimension, system: UnitSystem): Unit {
  const isTemperature = dimension === 'temperature' || dimension === 'temperature-difference';
  const isMetric = isTemperature ? degreesOf(system) === 'C' : measuresOf(system) === 'metric';
  return table[dimension][isMetric ? 'metric' : 'imperial'];
}

/** A kept value as the keeper's system writes it, with its unit: 1219.2 mm is '121.9 cm' or '48 in'. */
export function formatQuantity(value: number, dimension: Dimension, system: UnitSystem): string {
  return writeIn(value, unitFor(dimension, system));
}

/**
 * A kept value as text that parseQuantity reads back to the same value: in the keeper's unit, else in the first unit of the dimension
 * that takes at most four decimals (304.8 mm is '30.48 cm', 300 mm is '30 cm' also to a keeper of inches).
 */
export function typedQuantity(value: number, dimension: Dimension, system: UnitSystem): string {
  const texts = [unitFor(dimension, system), ...table[dimension].accepted].map((unit) => {
    const number = trim(tidy(unit.fromKept(value)).toFixed(4));
    return { back: tidy(unit.toKept(Number(number))), text: unit.show === '' ? number : `${number} ${unit.show}` };
  });
  return (texts.find((one) => one.back === tidy(value)) ?? texts[0]!).text;
}

/**
 * A quantity as it was typed, and where that was in a unit of the other system also in the keeper's: '37 °C (99 °F)' to one of °F. Where no
 * text was kept, the value in the keeper's unit.
 */
export function formatTyped({ value, typed }: Quantity, dimension: Dimension, system: UnitSystem): string {
  const shown = unitFor(dimension, system);
  if (typed === '') return writeIn(value, shown);
  const name = /[^\s\d.,+-].*$/su.exec(typed.normalize('NFKC').toLowerCase())?.[0].trim();
  const isFeetAndInches = table[dimension].accepted.includes(foot) && feetAndInches(typed) !== null;
  const unit = isFeetAndInches ? foot : table[dimension].accepted.find((one) => one.names.includes(name ?? ''));
  if (unit === undefined || ofTheUnitedStates.has(unit) === ofTheUnitedStates.has(shown)) return typed;
  return `${typed} (${writeIn(value, shown)})`;
}

/** A span of kept values written once with its unit: '28 to 32 °C'. Equal ends are written once. */
export function formatSpan(low: number, high: number, dimension: Dimension, system: UnitSystem): string {
  const unit = unitFor(dimension, system);
  const [first, second] = [writeNumber(low, unit), writeNumber(high, unit)];
  const tail = unit.show === '' ? '' : ` ${unit.show}`;
  return first === second ? `${first}${tail}` : `${first} to ${second}${tail}`;
}

/** An area kept in square metres: '0.54 m²' or '5.8 sq ft'. */
export function formatArea(squareMetres: number, system: UnitSystem): string {
  const { show, squareMetres: size } = areaUnit(system);
  return `${trim((squareMetres / size).toFixed(measuresOf(system) === 'metric' ? 2 : 1))} ${show}`;
}

/** The unit in which a keeper types an area, and its size in square metres; the square foot is exactly 0.09290304 m². */
export function areaUnit(system: UnitSystem): { show: string; squareMetres: number } {
  return measuresOf(system) === 'metric'
    ? { show: 'm²', squareMetres: 1 }
    : { show: 'sq ft', squareMetres: (FOOT / 1000) ** 2 };
}

/** Three inside lengths in millimetres as one text: '90 × 45 × 45 cm'. */
export function formatSize(lengthMm: number, depthMm: number, heightMm: number, system: UnitSystem): string {
  const unit = unitFor('length', system);
  const rough = { ...unit, decimals: 0 };
  return `${[lengthMm, depthMm, heightMm].map((mm) => writeNumber(mm, rough)).join(' × ')} ${unit.show}`;
}

/** A text that holds measures in cm or errors in °C, as the names of the catalogue do, with those in the keeper's units. */
export function withMeasuresIn(text: string, system: UnitSystem): string {
  const lengths = /(\d+(?:\.\d+)?(?: (?:x|to) \d+(?:\.\d+)?)*) cm\b/g;
  const inInches = (numbers: string) =>
    `${numbers.replace(/\d+(?:\.\d+)?/g, (one) => writeNumber(centimetre.toKept(Number(one)), inch))} ${inch.show}`;
  const measured =
    measuresOf(system) === 'metric' ? text : text.replace(lengths, (_, numbers: string) => inInches(numbers));
  return degreesOf(system) === 'C'
    ? measured
    : measured.replace(/±(\d+(?:\.\d+)?) °C/g, (_, error: string) => `±${writeIn(Number(error), fahrenheitDegree)}`);
}

/** A text that names temperatures in °C, as the cautions of a species do, with each also in °F for a keeper of those: '26 °C (78.8 °F)'. */
export function withTemperaturesIn(text: string, system: UnitSystem): string {
  // To the tenth, since a whole degree may lie above a limit.
  const tenths = { ...fahrenheit, decimals: 1 };
  return degreesOf(system) === 'C'
    ? text
    : text.replace(
        /(?<![\d.±])(\d+(?:\.\d+)?) °C/g,
        (celsius, one: string) => `${celsius} (${writeIn(Number(one), tenths)})`,
      );
}

function writeIn(value: number, unit: Unit): string {
  const number = writeNumber(value, unit);
  return unit.show === '' ? number : `${number} ${unit.show}`;
}

function writeNumber(value: number, unit: Unit): string {
  const number = tidy(unit.fromKept(value));
  return trim(number.toFixed(unit === inch ? inchDecimals(number) : unit.decimals));
}

// A tape shows quarters of an inch. A figure that comes from centimetres is none, and 23.62 in would claim a hundredth nobody measures.
function inchDecimals(inches: number): number {
  return Math.abs(inches) < 4 || Number.isInteger(tidy(inches * 4)) ? 2 : 1;
}

function trim(text: string): string {
  const trimmed = text.includes('.') ? text.replace(/\.?0+$/, '') : text;
  return trimmed === '-0' ? '0' : trimmed;
}

// Conversions leave noise in the 14th digit (95 °F would be 35.00000000000006); nine decimals are far below any instrument. Adding 0
// makes '-0' the same as '0'.
function tidy(value: number): number {
  return Math.round(value * 1e9) / 1e9 + 0;
}
