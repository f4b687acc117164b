// Every sentence about heat, power, sockets and hours of light: what limits a socket, how a heat loss was found or why it cannot be, what
// a heater reaches, and what the forms of rooms and sockets ask. Judges nothing; it puts the unions of src/warmth.ts, src/load.ts,
// src/day-length.ts and src/light-hours.ts into words.

import { monthOfYear } from '../src/calendar.ts';
import type { Material } from '../src/collection.ts';
import type { TimerSetting } from '../src/day-length.ts';
import type { DayWay, LampHours, LightYear, SeasonRule } from '../src/light-hours.ts';
import type { Load, LoadReason, OutletMember } from '../src/load.ts';
import { ASSUMED_CONTROL_WATTS, ASSUMED_POWER_FACTOR, CAUTION_SHARE } from '../src/load.ts';
import type { OutletRuleName } from '../src/rooms.ts';
import type { Provenance } from '../src/species.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatQuantity } from '../src/units.ts';
import type {
  ClosingObjection,
  HeatLoss,
  HeldSpell,
  MeasurementFault,
  NoEstimate,
  WarmthAssumption,
} from '../src/warmth.ts';
import type { RoomMonth } from '../src/warmth-year.ts';
import { materialNames, monthNames, temperatureNames } from './kind-words.ts';
import { standingWords } from './source-words.ts';
import { listed, lowerFirst, percent } from './words.ts';

/** The regional rules by name. */
export const outletRuleNames: Readonly<Record<OutletRuleName, string>> = {
  uk: 'United Kingdom: fused plug, 13 A at 230 V',
  'us-15': 'North America: circuit of 15 A at 120 V',
  'us-20': 'North America: circuit of 20 A at 120 V',
  eu: 'Continental Europe: circuit of 16 A at 230 V',
  own: 'My own figures',
};

/** Where a figure comes from and how well that stands, as one sentence. */
export function provenanceLine({ source, standing }: Provenance): string {
  return `Source: ${source} (${standing === 'own-assumption' ? 'own assumption' : standingWords[standing]}).`;
}

/** How a socket stands, in a few words; nothing that was entered can show more than this. */
export const loadWords: Readonly<Record<Load['state'], string>> = {
  within: `Below ${percent(CAUTION_SHARE)} of its limit, as far as was entered`,
  caution: 'Needs a second look',
  over: 'More than it may carry',
};

/** What carries least. */
export const memberNames: Readonly<Record<OutletMember, string>> = {
  circuit: 'its circuit',
  plug: 'the fuse in its plug',
  lead: 'its lead',
};

/** Why a load is not within. */
export function loadSentence(reason: LoadReason): string {
  switch (reason.why) {
    case 'over-the-limit':
      return 'With everything on at once it would carry more than its weakest part may. Move something to a socket of another circuit.';
    case 'near-the-limit':
      return `With everything on at once it carries ${percent(CAUTION_SHARE)} or more of what its weakest part may. Plug nothing more into it.`;
    case 'watts-unknown':
      return `The watts of ${listed(reason.things.map(({ name }) => `“${name}”`))} are unknown and not in the sum: read them off the plate and enter them.`;
  }
}

/** What was assumed of what a thing draws; null when nothing was. */
export function drawNote(assumed: Load['draws'][number]['assumed']): string | null {
  const notes = assumed.map((one) =>
    one === 'power-factor'
      ? `power factor taken as ${ASSUMED_POWER_FACTOR} (own assumption)`
      : `taken to draw ${ASSUMED_CONTROL_WATTS} W (own assumption)`,
  );
  return notes.length === 0 ? null : notes.join('; ');
}

/** Cautions beside sockets. */
export const socketCautions: readonly string[] = [
  'The rules where you live and a qualified electrician decide what a socket may carry, not this sum.',
  'What else hangs on the same circuit (a kettle, a washing machine, the next room) is not known here and comes on top.',
  'Unwind a drum of cable whole before use: wound up it overheats at a fraction of its rating. Never plug one extension lead into another.',
  'Mains electricity near water kills. Use drip loops and a residual-current device.',
];

/** Cautions beside heat. */
export const warmthCautions: readonly string[] = [
  'Heaters start fires. Nothing that burns stands near one, no lamp is covered, and a smoke alarm hangs in the room.',
  'Every heater takes a thermostat of the right type and a guard or a place out of reach; animals do not move away from heat that burns them.',
  'Insulation goes on the outside, never over vents, cables, lamps or a heater, and only of a kind that its maker allows there.',
  'This reckoning picks nothing for you: the plate of a heater, the rules where you live and a qualified electrician come first.',
];

/** What is said of heaters in water, which no reckoning here covers. */
export const waterHeatSentence =
  'How warm water becomes is not reckoned here, and what these heaters give the air is not counted: measure the water with a thermometer, away from the heater. Unplug it before you lower the water or put a hand in.';

/** A basking place is outside what is reckoned. */
export const baskingSentence =
  'How hot the surface under a basking lamp becomes is measured and never predicted: beam, surface and draught are unknown here, and each moves it by tens of degrees. Move a lamp by no more than a fifth of its distance at a time, and measure again.';

/** Why a heat loss cannot be reckoned, as the end of a sentence. */
export const noEstimateWords: Readonly<Record<NoEstimate, string>> = {
  'mesh-top': 'its top is mesh, and what rises through it hangs on draughts more than on walls',
  'open-top': 'its top is open, and what rises out of it hangs on draughts more than on walls',
  'mesh-walls': 'its walls are mesh',
  'mesh-front': 'its front is mesh',
  'material-unknown': 'no heat loss can be told from the name of its material',
};

/** Why a heat loss cannot be reckoned, and what to measure instead. */
export function noEstimateSentence(why: NoEstimate): string {
  return `The heat loss cannot be estimated: ${noEstimateWords[why]}.`;
}

/** How a keeper finds the heat loss without any reckoning. */
export const measureUseSentence =
  'It can be measured. Plug everything inside into an energy meter and let it run for two or three days of even weather. Divide the kilowatt-hours by the hours and take it times 1000: these are the mean watts. Read the mean air inside and that of the room over the same days, and enter all three under “How it is built”.';

const faultWords: Readonly<Record<MeasurementFault, string>> = {
  'older-than-box': 'it is from before the box was set up in this form and place',
  'no-watts': 'it names no watts',
  'inside-not-warmer': 'the inside was no warmer than the room',
  'difference-within-error': 'inside and room differ by no more than two thermometers err',
};

/** Why a measured heat use was not taken. */
export function measurementSentence(fault: MeasurementFault): string {
  return `The measured heat use was not taken: ${faultWords[fault]}.`;
}

/** Where a heat loss comes from. */
export const lossWords: Readonly<Record<HeatLoss['status'], string>> = {
  measured: 'from your measured heat use',
  'measured-then-changed': 'from your measured heat use, changed since',
  computed: 'reckoned from walls and air (ISO 6946)',
  'cannot-be-estimated': 'unknown',
};

const materialWord = (material: Material) => materialNames[material].toLowerCase();

/** What was taken because the keeper did not say it. */
export function warmthAssumptionSentence(one: WarmthAssumption): string {
  switch (one.assumed) {
    case 'wall-thickness':
      return `The walls were taken to be ${one.mm} mm thick (${materialWord(one.material)}); their thickness was not entered.`;
    case 'front-thickness':
      return `The front was taken to be ${one.mm} mm thick (${materialWord(one.material)}); its thickness was not entered.`;
    case 'air-changes':
      return `The air inside was taken to change ${one.anHour} times an hour (own assumption).`;
  }
}

/** What comes of holding a day or a night. */
export const spellWords: Readonly<Record<HeldSpell['state'], string>> = {
  'warm-without-heater': 'warm enough without a heater',
  held: 'the heater holds it',
  'not-reached': 'the heater does not reach it',
  'heater-to-choose': 'a heater is needed',
};

/** Why closing a top is not proposed. */
export const objectionSentences: Readonly<Record<ClosingObjection, string>> = {
  'lamp-clearance': 'a lamp or heater stands over it or where is not entered, and would be too close to a sheet',
  'required-vents': 'vents that are needed are in it',
  'moving-air': 'an animal that lives here needs air that moves',
};

/** Whose day lamps follow, as an answer to choose. */
export const dayWayNames: Readonly<Record<DayWay, string>> = {
  home: 'As at its home, in the middle of its range',
  published: 'The hours of light that are told for it',
  keeper: 'As where you live',
};

/** Whose seasons an animal has, as an answer to choose. */
export const seasonRuleNames: Readonly<Record<SeasonRule, string>> = {
  keeper: 'Of your place: its summer falls in yours',
  home: 'Of its home: its summer falls where it does there',
};

/** Hours of light to the minute, '13 h 05 min'. */
export function hoursText(hours: number): string {
  const minutes = Math.round(60 * hours);
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, '0')} min`;
}

/** A latitude, '23.7° south'. */
function latitudeText(latitude: number): string {
  return latitude === 0 ? 'the equator' : `${Math.abs(latitude)}° ${latitude < 0 ? 'south' : 'north'}`;
}

/** How long a UV lamp is on of a day, within what is scored. */
export function uvHoursText({ held, timerHours }: TimerSetting): string {
  switch (held) {
    case 'no':
      return 'as long';
    case 'raised':
      return `${hoursText(timerHours)}, the least scored in full`;
    case 'lowered':
      return `${hoursText(timerHours)}, the most scored in full`;
  }
}

const reckonedDay =
  'Reckoned for the middle of each month from the upper edge of the sun rising to its setting; lamps go in steps of a quarter of an hour around noon by the clock. Summer time and how far your noon lies from the sun’s are not reckoned.';

/** Whose day a table shows, in whose seasons. `home` is the range of latitudes, `keeper` the keeper's latitude; null unknown. */
export function lightYearSentences(
  year: LightYear,
  home: { low: number; high: number } | null,
  keeper: number | null,
): string[] {
  switch (year.way) {
    case 'home': {
      const seasons: Record<typeof year.seasons, string> = {
        alike: 'Its home has its summer when you have yours.',
        turned:
          'Its home has its summer in your winter, so each month takes the home’s day of half a year later: the seasons are those of your place.',
        kept: 'Its home has its summer in your winter, and by your choice the calendar of its home is kept.',
        unknown:
          'Your latitude is not entered, so the calendar of its home is kept; if you live in the other hemisphere, that turns summer and winter round.',
      };
      return [
        home === null || home.low === home.high
          ? `The day at ${latitudeText(year.latitude)}.`
          : `The day at ${latitudeText(year.latitude)}, the middle of its range from ${latitudeText(home.low)} to ${latitudeText(home.high)}; “Within its range” has the shortest and the longest day there.`,
        reckonedDay,
        seasons[year.seasons],
      ];
    }
    case 'published': {
      const half = year.longFrom === 4 ? 'April to September' : 'October to March';
      const whose: Record<typeof year.seasonsOf, string> = {
        keeper: 'by the seasons of your place',
        home: 'by the seasons of its home',
        north: 'as in the north, because neither your latitude nor its home’s is known',
      };
      return [
        `The hours told for the long and the short half of the year, the timer set to the middle of each. The long half is taken as ${half}, ${whose[year.seasonsOf]} (own assumption).`,
        'Lamps go in steps of a quarter of an hour around noon by the clock; going from one half to the other over some weeks spares a sudden change (common practice, no source).',
      ];
    }
    case 'keeper':
      return [
        `The day at ${keeper === null ? 'your latitude' : latitudeText(keeper)}, from your settings: the seasons where you live, which need not be those of the animal’s home.`,
        reckonedDay,
      ];
  }
}

/** What the seasons of the rooms do that no score and no month of a plan counts. */
export const roomYearWords = {
  heading: 'Summer and winter in the rooms',
  lead: 'What the rooms become is reckoned from the coldest and the hottest month of each, the months between on a wave (own assumption). A room warmer than the coolest place may be, or than a dated rest asks for, is scored in its months. What the cold does past a heater hangs on the heat a box loses, which is told too loosely to be scored: it stands here alone.',
  none: 'By the coldest and the hottest month that are entered, no room is too warm or too cold for anyone in the coming year. Hot afternoons are above a month’s mean.',
  unknown: (names: string) =>
    `Not known for ${names}: the coldest or the hottest month of the room was never entered, or nobody said in which room the box stands.`,
} as const;

/** One line about the months in which a room keeps an animal from what it wants; `all` are of one animal and one kind. */
export function roomMonthsSentence(all: readonly RoomMonth[], animal: string, system: UnitSystem): string {
  const first = all[0]!;
  const months = listed(all.map(({ month }) => monthNames[monthOfYear(month) - 1]!));
  const text = (celsius: number) => formatQuantity(celsius, 'temperature', system);
  const rooms = all.map(({ roomCelsius }) => roomCelsius);
  switch (first.why) {
    case 'too-warm':
      return `${animal}, ${months}: the room has up to ${text(Math.max(...rooms))} in the mean, warmer than the ${text(first.limit)} that ${lowerFirst(temperatureNames[first.kind])} may have. Nothing in the box can be cooler without help: shade, moving air, a cooler room, heaters off.`;
    case 'rest-too-warm':
      return `${animal}, ${months}: its dated rest asks for ${text(first.limit)} or less, and the room has ${text(Math.min(...rooms))} or more. It cannot rest there: weeks too warm to sleep and too cool to feed use up its reserves. Ask a reptile vet for another place, or take the dates away.`;
    case 'heater-short': {
      const reached = Math.min(...all.map((one) => (one.why === 'heater-short' ? one.mostCelsius : Infinity)));
      return `${animal}, ${months}: the heater that is fitted does not hold the ${text(first.wanted)} wanted, even always on; it reaches about ${text(reached)}.`;
    }
  }
}

/** How a lamp is set beside the hours of its month. */
export function lampHoursSentence(one: LampHours, month: string, isUv: boolean): string {
  const wanted = `${hoursText(one.wanted)}${isUv ? ' of UV' : ''}`;
  switch (one.status) {
    case 'unknown':
      return `How long “${one.name}” is on is not entered; the table has ${wanted} for ${month}.`;
    case 'close':
      return `“${one.name}” is on for ${hoursText(one.hours)}, within an hour of the ${wanted} for ${month}.`;
    case 'apart':
      return `“${one.name}” is on for ${hoursText(one.hours)}; the table has ${wanted} for ${month}. Setting its timer anew costs nothing.`;
  }
}

/** What the forms of rooms and sockets ask, offer and say. */
export const roomFormWords = {
  allEnclosures: 'All enclosures',
  pluggedIn: 'plugged in',
  inOther: (name: string) => `in “${name}”`,
  whatIsPluggedInto: (name: string) => `what is plugged into “${name}”`,
  pluggedInto: (name: string) => `Plugged into “${name}”`,
  nothingFitted: 'Nothing is entered as fitted yet.',
  tickWhatIs: 'Tick what is plugged in, also through a thermostat, a timer or a strip.',
  nowIn: (name: string) => `Now in “${name}”; a tick moves it here.`,
  save: 'Save',
  name: 'Name',
  coldestMean: 'Mean temperature of its coldest month',
  coldestMonth: 'Coldest month',
  hottestMean: 'Mean temperature of its hottest month',
  hottestMonth: 'Hottest month',
  notes: 'Notes',
  notMeasured: 'Not measured',
  theName: 'the name',
  theColdestMean: 'the temperature of the coldest month',
  theColdestMonth: 'the coldest month',
  theHottestMean: 'the temperature of the hottest month',
  theHottestMonth: 'the hottest month',
  theNotes: 'the notes',
  enterRoom: 'Enter a room',
  change: (name: string) => `Change “${name}”`,
  asMeasured: 'As measured beside the enclosures',
  meanHint: (temperatures: string) =>
    `${temperatures} The mean of days and nights, with the heating as it usually runs.`,
  meanAsBefore: 'Days and nights in the mean, as before.',
  enterThisRoom: 'Enter this room',
  remove: (name: string) => `Remove “${name}”?`,
  roomPutBack: 'It can be put back at any time from the list of rooms.',
  roomKept: (count: number) =>
    `Enclosures and sockets in it (${count}) are kept and stand in no room until it is put back.`,
  removeRoom: 'Remove this room',
  needsTemperature: 'Fill in the temperature of this month, or choose “Not measured” as its month.',
  needsMonth: 'Choose the month in which this was measured.',
  checkBoth: 'Check both temperatures: the hottest month is colder than the coldest.',
  room: 'Room',
  rule: 'Rule',
  voltage: 'Mains voltage',
  mayCarry: 'Its circuit or socket may carry',
  plugFuse: 'Fuse in the plug',
  leadRating: 'Rating of the lead or strip',
  noRoom: 'No room of this ledger',
  theRoom: 'the room',
  theRule: 'the rule',
  theVoltage: 'the mains voltage',
  whatMayBeCarried: 'what its circuit may carry',
  thePlugFuse: 'the fuse in the plug',
  theLeadRating: 'the rating of the lead',
  enterSocket: 'Enter a socket',
  socketNameHint: 'Such as “Left of the window” or “Strip on the rack”.',
  ruleHint: 'Decides the share that may be drawn for hours on end. The figures below stay as they are.',
  figures: 'Figures',
  plugFuseHint: 'Leave it empty where plugs have no fuse.',
  leadRatingHint: 'As printed on a strip, drum or extension lead, unwound. Leave it empty without one.',
  enterThisSocket: 'Enter this socket',
  socketPutBack: 'It can be put back at any time from the list of sockets.',
  socketKept: (count: number) => `What is plugged into it (${count}) counts on no socket until it is put back.`,
  removeSocket: 'Remove this socket',
  underWhichRule: 'Enter a socket: under which rule?',
  underWhichRuleLead: 'The usual figures of a region are where its form begins; what is printed on yours wins.',
} as const;

/** What stands on the page of heat and power: headings, labels and what is assumed. */
export const warmthPageWords = {
  nobodyNoTemperature: 'Nobody lives here, so no temperature is to be held.',
  sayRoomDecides: 'Say in which room it stands under “How it is built”: how cold that becomes decides what is needed.',
  noTargetOfAir: 'No target for the air is known for who lives here in that month, so nothing is reckoned.',
  lead: 'A reckoning of the mean air in the box, with its error. What your instruments read wins.',
  airByDayTaken:
    'The mean air by day is taken as the middle of the targets for warm air and the cool end, as far as the species has them, and by night as the middle of the target for the night; with several animals, that of the one that wants it warmest.',
  nightTakenAsDay: 'No target for the night is known: the same air as by day is taken.',
  roomTaken:
    'The room is taken to have the mean of its coldest month by day and by night alike; a colder night needs more.',
  heatInsideCounts:
    'All heat of lamps, pumps and fans inside counts as warmth of the box, also of a lamp above mesh; what drying water takes is left out.',
  noHeater: 'No heat mat, ceramic heater or heat panel is entered as fitted.',
  heatLoss: 'Heat loss',
  atLeast: 'At the least',
  howKnown: 'How it is known',
  lossMeaning:
    'So many watts leave the box for each degree that its mean air is warmer than the room; in brackets the ends of the error.',
  atLeast27: 'at least ',
  neededClosed: 'This is what it would need closed. As it is it needs more, and by how much is unknown.',
  heaterTooWeak: 'The heater that is fitted does not reach what is wanted, even always on.',
  heaterPerhapsTooWeak: 'If the box loses as much as the error allows, the heater does not reach what is wanted.',
  byDay: 'By day',
  byNight: 'By night',
  hours: 'Hours',
  meanAirWanted: 'Mean air wanted',
  airRoom: 'Air of the room',
  heatNeeded: 'Heat needed',
  fromLamps: 'From lamps, pumps and fans',
  fromHeater: 'From the heater, in the mean',
  shareOfTimeOn: 'Share of the time it is on',
  unknownWithoutHeater: 'unknown without a heater of known watts',
  mostCanReach: 'Most it can reach',
  whatComes: 'What comes of it',
  foamBoard: 'foam board',
  corkBoard: 'cork board',
  topClosed: 'The top closed with a sheet like the walls',
  topClosedHint:
    'The top is closed only where no vent that the box needs is in it; damp and air are to be measured again.',
  heatLossThen: 'Heat loss then',
  savesMonth: 'Saves a month',
  moneyMonth: 'Money a month',
  cannotBeEstimated: 'cannot be estimated',
  unknownWithoutPrice: 'unknown without the price of electricity',
  nobodyLivesHere: 'Nobody lives here.',
  sayRoom: 'Say in which room it stands under “How it is built”.',
  watts: 'Watts',
  costMonth: 'Cost a month',
  thermostat: 'Thermostat',
  noOtherThermostat: 'no other is entered; whether it has its own is on its label',
  hoursDay: 'Hours a day',
  shareTime: 'Share of the time',
  energyMonthly: 'kWh a month',
  takenAsAll: 'taken as all of it',
  together: 'Together',
  costUnknown: 'What it costs is unknown without the price of electricity, which is entered with the money.',
} as const;
