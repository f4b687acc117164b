// What the page of heat, power and hours of light shows, already in words: what the box loses, what holds it in the coldest month of its
// room, what that costs, what insulation saves, how it stands in the hottest month, and when lamps switch.

import { monthlyKwh, powerCost } from '../../src/budget.ts';
import type { PlainDate, PlainMonth } from '../../src/calendar.ts';
import { formatDate, formatMonth } from '../../src/calendar.ts';
import { coolestPlace } from '../../src/climate-needs.ts';
import type { Fitting, FittingKind, Setup } from '../../src/collection.ts';
import { isFitted } from '../../src/collection.ts';
import type { Money } from '../../src/money.ts';
import { formatMoney, sumMoney } from '../../src/money.ts';
import type { Room } from '../../src/rooms.ts';
import type { CareLibrary } from '../../src/species.ts';
import { speciesOf, targetsFor } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity } from '../../src/units.ts';
import type { HeatLoss, Saving, Warmth, WarmthDay, WarmthQuestion } from '../../src/warmth.ts';
import {
  gainsOf,
  heatLossOf,
  holdWarmth,
  INSULATORS,
  monthOfPower,
  objectionsToClosing,
  savingOf,
} from '../../src/warmth.ts';
import { AIR_HEATERS, comingMonth, dayHoursOf, USUAL_DAY_HOURS, wantedAir } from '../../src/warmth-year.ts';
import { cautions } from '../caution-words.ts';
import type { Ledger } from '../db/ledger.ts';
import { monthNames, temperatureNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import {
  baskingSentence,
  lossWords,
  measurementSentence,
  measureUseSentence,
  noEstimateSentence,
  objectionSentences,
  provenanceLine,
  spellWords,
  warmthAssumptionSentence,
  warmthCautions,
  warmthPageWords,
  waterHeatSentence,
} from '../warmth-words.ts';
import { capital, listed, lowerFirst, percent } from '../words.ts';
import type { LightPart } from './light-hours.view.ts';
import { lightPart } from './light-hours.view.ts';

type Table = { columns: string[]; rows: { head: string; cells: string[] }[] };

type WarmthPage = {
  heading: string;
  lead: string;
  buildHref: string;
  roomsHref: string;
  loss: { facts: { term: string; value: string }[]; sentences: string[] };
  held: { table: Table; caption: string; sentences: string[] } | null;
  /** Why nothing is held, when nothing is. */
  unheld: string[];
  assumptions: string[];
  savings: { table: Table; notes: string[] } | null;
  basking: string;
  hottest: string[];
  costs: { table: Table; notes: string[] } | null;
  /** The heaters in water, which the air's reckoning leaves out; null when there are none. */
  water: { table: Table; sentence: string } | null;
  light: LightPart;
  settingsHref: string;
  cautions: readonly string[];
};

/** What was gathered for the page. `room` is null while nobody said in which room the box stands. */
type Given = {
  setup: Setup;
  room: Room | null;
  library: CareLibrary;
  ledger: Pick<Ledger, 'unitSystem' | 'locale' | 'currency' | 'pricePerKwh' | 'latitude' | 'clockHours'>;
  today: PlainDate;
  /** The choices in the address. */
  asked: Readonly<Record<string, unknown>>;
};

const overhead: ReadonlySet<FittingKind> = new Set([
  'uv-tube',
  'uv-compact',
  'basking-lamp',
  'ceramic-heater',
  'radiant-panel',
]);

// Own assumption, to keep a sheet away from lamps; what the maker of a lamp asks for wins.
const CLEARANCE_MM = 200;

const INSULATION_MM = 20;

/** Heat, power and hours of light of one enclosure. */
export function warmthPage(given: Given): WarmthPage {
  const { setup, room, library, ledger, today } = given;
  const { enclosure, occupants } = setup;
  const loss = heatLossOf(enclosure);
  const fitted = setup.fittings.filter((one) => isFitted(one, today));
  const month = room?.coldest == null ? null : comingMonth(today, room.coldest.month);
  const inMonth = (when: PlainMonth) => occupants.map((one) => targetsFor(speciesOf(library, one), one, when));
  const wanted = month === null ? null : wantedAir(inMonth(month));
  const tender = occupants
    .map((one) => speciesOf(library, one))
    .filter((one) => one.neverPropose.includes('any-heater'));
  const gains = gainsOf(setup.fittings, today);
  const lampHours = dayHoursOf(setup.fittings, today);
  const heaters = fitted.filter((one) => AIR_HEATERS.has(one.kind));
  const heatersKnown = heaters.every((one) => one.watts !== null);
  const heaterWatts =
    heaters.length === 0 || !heatersKnown ? null : heaters.reduce((sum, one) => sum + (one.watts ?? 0), 0);
  const dayHours = lampHours ?? USUAL_DAY_HOURS;

  const resting =
    month === null
      ? []
      : occupants.filter((one) => targetsFor(speciesOf(library, one), one, month).season === 'winter-rest');
  const isTooWarmToRest =
    resting.length > 0 &&
    resting.length === occupants.length &&
    room?.coldest != null &&
    wanted !== null &&
    room.coldest.celsius > wanted.day;

  const question: WarmthQuestion | null =
    room?.coldest == null || wanted === null || tender.length > 0 || isTooWarmToRest
      ? null
      : {
          day: { insideCelsius: wanted.day, roomCelsius: room.coldest.celsius },
          night: { insideCelsius: wanted.night, roomCelsius: room.coldest.celsius },
          dayHours,
          gains: gains.gains,
          heaterWatts,
          evaporatedGrams: 0,
        };
  const unheld: string[] = [];
  if (tender.length > 0)
    unheld.push(
      `${capital(listed([...new Set(tender.map((one) => one.commonName))]))}: harmed by warmth sooner than by cold, so no heater is reckoned here.`,
    );
  else if (occupants.length === 0) unheld.push(warmthPageWords.nobodyNoTemperature);
  else if (room === null) unheld.push(warmthPageWords.sayRoomDecides);
  else if (room.coldest === null)
    unheld.push(`The coldest month of “${room.name}” was never measured: enter it with the room.`);
  else if (isTooWarmToRest)
    unheld.push(
      `${listed(resting.map(({ name }) => name))}: in ${formatMonth(month!, ledger.locale)} a dated rest asks for ${formatQuantity(wanted!.day, 'temperature', ledger.unitSystem)}, and the room has ${formatQuantity(room.coldest.celsius, 'temperature', ledger.unitSystem)}. Nothing is to be heated, and it cannot rest in this room: ask a reptile vet for another place, or take the dates away.`,
    );
  else if (wanted === null) unheld.push(warmthPageWords.noTargetOfAir);

  return {
    heading: `Heat and power in “${enclosure.name}”`,
    lead: warmthPageWords.lead,
    buildHref: paths.enclosures.build(enclosure.id),
    roomsHref: paths.rooms.list,
    loss: lossPart(loss, ledger.locale),
    held: question === null || month === null ? null : heldPart(holdWarmth(loss, question), question, month, ledger),
    unheld,
    assumptions: [
      ...(loss.status === 'computed' || loss.status === 'cannot-be-estimated'
        ? loss.assumptions.map(warmthAssumptionSentence)
        : []),
      ...(question === null
        ? []
        : [
            warmthPageWords.airByDayTaken,
            ...(wanted?.nightFrom === 'day' ? [warmthPageWords.nightTakenAsDay] : []),
            warmthPageWords.roomTaken,
            lampHours === null
              ? `The day is taken to have ${USUAL_DAY_HOURS} hours, as no lamp says (own assumption).`
              : `The day is taken to have ${formatQuantity(dayHours, 'hours', 'metric')}, as long as the lamp that burns longest.`,
            warmthPageWords.heatInsideCounts,
            ...(gains.unknown.length === 0
              ? []
              : [
                  `Not counted, because watts or hours are unknown: ${listed(gains.unknown.map(({ name }) => `“${name}”`))}.`,
                ]),
            heaters.length === 0
              ? warmthPageWords.noHeater
              : heatersKnown
                ? `The heater is ${listed(heaters.map((one) => `“${one.name}”`))}, under a thermostat; all its heat counts, also that of a mat below the floor.`
                : `The watts of ${listed(heaters.filter((one) => one.watts === null).map((one) => `“${one.name}”`))} are unknown, so it is not known what the heater reaches.`,
          ]),
    ],
    savings: question === null ? null : savingsPart(given, loss, question, fitted),
    basking: baskingSentence,
    hottest: hottestPart(given),
    costs: costsPart(fitted, ledger),
    water: waterPart(fitted, ledger),
    light: lightPart(given),
    settingsHref: paths.settings,
    cautions: [...warmthCautions, cautions.mainsAndWater],
  };
}

const figure = (value: number) => (value > 0 && value < 10 ? value.toFixed(1) : String(Math.round(value)));
const kwh = (value: number) => `${figure(value)} kWh`;
const watts = (value: number) => `${figure(value)} W`;
const perDegree = (value: number) => `${value.toFixed(2)} W per °C`;
const spread = (likely: string, low: string, high: string) => (low === high ? likely : `${likely} (${low} to ${high})`);

function lossPart(loss: HeatLoss, locale: string): WarmthPage['loss'] {
  if (loss.status === 'cannot-be-estimated') {
    return {
      facts: [
        { term: warmthPageWords.heatLoss, value: 'unknown' },
        ...(loss.floorWattsPerKelvin === null
          ? []
          : [
              {
                term: warmthPageWords.atLeast,
                value: `${perDegree(loss.floorWattsPerKelvin)}, as much as it would lose closed`,
              },
            ]),
      ],
      sentences: [
        noEstimateSentence(loss.why),
        measureUseSentence,
        ...(loss.measurement === null ? [] : [measurementSentence(loss.measurement)]),
      ],
    };
  }
  const of = loss.status === 'computed' ? '' : `, measured until ${formatDate(loss.on, locale)}`;
  return {
    facts: [
      {
        term: warmthPageWords.heatLoss,
        value: spread(perDegree(loss.wattsPerKelvin), loss.low.toFixed(2), loss.high.toFixed(2)),
      },
      { term: warmthPageWords.howKnown, value: `${lossWords[loss.status]}${of}` },
    ],
    sentences: [
      warmthPageWords.lossMeaning,
      ...(loss.status === 'computed' ? [measureUseSentence] : []),
      ...(loss.status === 'computed' && loss.measurement !== null ? [measurementSentence(loss.measurement)] : []),
    ],
  };
}

function heldPart(
  warmth: Warmth,
  question: WarmthQuestion,
  month: PlainMonth,
  ledger: Given['ledger'],
): WarmthPage['held'] {
  const { unitSystem: system, locale } = ledger;
  const caption = `To hold it warm in ${formatMonth(month, locale)}`;
  if (warmth.status === 'cannot-be-estimated') {
    if (warmth.atLeast === null) return null;
    const least = monthOfPower(warmth.atLeast.heaterKwhADay, ledger.pricePerKwh, ledger.currency);
    return {
      caption,
      table: dayTable(warmth.atLeast, warmth.atLeast, warmth.atLeast, question, system, warmthPageWords.atLeast27),
      sentences: [
        warmthPageWords.neededClosed,
        `The heater draws at least ${kwh(least.kwh)} in such a month${
          least.cost === null
            ? '; what that costs is unknown without the price of electricity, which is entered with the money.'
            : `, which costs at least ${formatMoney(least.cost, ledger.currency, locale)}.`
        }`,
      ],
    };
  }
  const { likely, atLowLoss, atHighLoss } = warmth;
  const powerOf = (day: WarmthDay) => monthOfPower(day.heaterKwhADay, ledger.pricePerKwh, ledger.currency);
  const [mid, low, high] = [powerOf(likely), powerOf(atLowLoss), powerOf(atHighLoss)];
  const unreached = ([likely.day, likely.night] as const).some((one) => one.state === 'not-reached');
  const doubtful =
    !unreached && ([atHighLoss.day, atHighLoss.night] as const).some((one) => one.state === 'not-reached');
  return {
    caption,
    table: dayTable(likely, atLowLoss, atHighLoss, question, system, ''),
    sentences: [
      `The heater draws ${spread(kwh(mid.kwh), figure(low.kwh), figure(high.kwh))} in such a month${
        mid.cost === null
          ? '; what that costs is unknown without the price of electricity, which is entered with the money.'
          : `, which costs ${spread(...moneyEnds(mid.cost, low.cost, high.cost, ledger))}.`
      }`,
      ...(unreached ? [warmthPageWords.heaterTooWeak] : []),
      ...(doubtful ? [warmthPageWords.heaterPerhapsTooWeak] : []),
    ],
  };
}

function moneyEnds(
  likely: Money,
  low: Money | null,
  high: Money | null,
  { currency, locale }: Given['ledger'],
): [string, string, string] {
  const text = (amount: Money | null) => (amount === null ? 'unknown' : formatMoney(amount, currency, locale));
  return [text(likely), text(low), text(high)];
}

function dayTable(
  likely: WarmthDay,
  low: WarmthDay,
  high: WarmthDay,
  question: WarmthQuestion,
  system: UnitSystem,
  prefix: string,
): Table {
  const celsius = (value: number) => formatQuantity(value, 'temperature', system);
  const parts = ['day', 'night'] as const;
  const row = (head: string, cell: (part: (typeof parts)[number]) => string) => ({ head, cells: parts.map(cell) });
  return {
    columns: [warmthPageWords.byDay, warmthPageWords.byNight],
    rows: [
      row(warmthPageWords.hours, (part) => figure(likely[part].hours)),
      row(warmthPageWords.meanAirWanted, (part) => celsius(question[part].insideCelsius)),
      row(warmthPageWords.airRoom, (part) => celsius(question[part].roomCelsius)),
      row(warmthPageWords.heatNeeded, (part) => {
        const [mid, least, most] = [likely[part], low[part], high[part]];
        return `${prefix}${spread(watts(mid.wattsNeeded), figure(least.wattsNeeded), figure(most.wattsNeeded))}`;
      }),
      row(warmthPageWords.fromLamps, (part) => watts(likely[part].wattsFromOthers)),
      row(warmthPageWords.fromHeater, (part) => {
        const [mid, least, most] = [likely[part], low[part], high[part]];
        return `${prefix}${spread(watts(mid.heaterMeanWatts), figure(least.heaterMeanWatts), figure(most.heaterMeanWatts))}`;
      }),
      row(warmthPageWords.shareOfTimeOn, (part) => {
        const [mid, least, most] = [likely[part].duty, low[part].duty, high[part].duty];
        if (mid === null || least === null || most === null) return warmthPageWords.unknownWithoutHeater;
        return `${prefix}${spread(percent(mid), percent(least), percent(most))}`;
      }),
      row(warmthPageWords.mostCanReach, (part) => {
        const [mid, least, most] = [likely[part].mostCelsius, low[part].mostCelsius, high[part].mostCelsius];
        if (mid === null || least === null || most === null) return warmthPageWords.unknownWithoutHeater;
        return `${prefix === '' ? '' : 'below '}${spread(celsius(mid), celsius(most), celsius(least))}`;
      }),
      row(warmthPageWords.whatComes, (part) => (prefix === '' ? spellWords[likely[part].state] : 'unknown')),
    ],
  };
}

function savingsPart(
  { setup, library, ledger }: Given,
  loss: HeatLoss,
  question: WarmthQuestion,
  fitted: readonly Fitting[],
): WarmthPage['savings'] {
  const { enclosure, occupants } = setup;
  const { pricePerKwh, currency, locale } = ledger;
  const rows: Table['rows'] = [];
  const row = (head: string, after: HeatLoss) => {
    const saving = savingOf(loss, after, question, pricePerKwh, currency);
    rows.push({
      head,
      cells: [
        after.status === 'cannot-be-estimated' ? 'unknown' : perDegree(after.wattsPerKelvin),
        savedKwh(saving),
        savedMoney(saving, (amount) => formatMoney(amount, currency, locale)),
      ],
    });
  };
  const notes: string[] = [];
  for (const [key, name] of [
    ['foam-board', warmthPageWords.foamBoard],
    ['cork', warmthPageWords.corkBoard],
  ] as const) {
    const { lambda } = INSULATORS[key];
    const layers = [{ faces: ['back', 'left', 'right'] as const, mm: INSULATION_MM, lambda }];
    row(`${INSULATION_MM} mm of ${name} outside on the back and both sides`, heatLossOf(enclosure, { layers }));
    notes.push(`${capital(name)}: ${lowerFirst(provenanceLine(INSULATORS[key]))}`);
  }
  if (enclosure.top !== 'closed') {
    const objections = objectionsToClosing({
      withinLampClearance: fitted.some(
        (one) => overhead.has(one.kind) && (one.placed === null || one.placed.zMm > enclosure.heightMm - CLEARANCE_MM),
      ),
      // Which vents a box needs is not entered; the note says when the row holds.
      overRequiredVents: false,
      needsMovingAir: occupants.some((one) => speciesOf(library, one).neverPropose.includes('close-top')),
    });
    if (objections.length > 0)
      notes.push(`Closing the top is not proposed: ${listed(objections.map((one) => objectionSentences[one]))}.`);
    else {
      row(warmthPageWords.topClosed, heatLossOf(enclosure, { closeTop: true }));
      notes.push(warmthPageWords.topClosedHint);
    }
  }
  return {
    table: { columns: [warmthPageWords.heatLossThen, warmthPageWords.savesMonth, warmthPageWords.moneyMonth], rows },
    notes,
  };
}

// Whether a saving would be written as 0.
const isNothing = (value: number) => Number(figure(value)) === 0;

function savedKwh(saving: Saving): string {
  switch (saving.status) {
    case 'saves':
      return spread(kwh(saving.kwh.likely), figure(saving.kwh.low), figure(saving.kwh.high));
    case 'at-least':
      // At least nothing is not known, and no figure.
      return isNothing(saving.kwh) ? 'unknown' : `at least ${kwh(saving.kwh)}`;
    case 'cannot-be-estimated':
      return warmthPageWords.cannotBeEstimated;
  }
}

function savedMoney(saving: Saving, text: (amount: Money) => string): string {
  if (saving.status === 'cannot-be-estimated') return warmthPageWords.cannotBeEstimated;
  if (saving.cost === null) return warmthPageWords.unknownWithoutPrice;
  if (saving.status === 'at-least' && isNothing(saving.kwh)) return 'unknown';
  return saving.status === 'at-least'
    ? `at least ${text(saving.cost)}`
    : spread(text(saving.cost.likely), text(saving.cost.low), text(saving.cost.high));
}

function hottestPart({ setup, room, library, ledger, today }: Given): string[] {
  if (setup.occupants.length === 0) return [warmthPageWords.nobodyLivesHere];
  if (room === null) return [warmthPageWords.sayRoom];
  if (room.hottest === null) return [`The hottest month of “${room.name}” was never measured: enter it with the room.`];
  const { celsius, month } = room.hottest;
  const text = (value: number) => formatQuantity(value, 'temperature', ledger.unitSystem);
  const when = comingMonth(today, month);
  const sentences = setup.occupants.map((animal) => {
    const species = speciesOf(library, animal);
    const targets = targetsFor(species, animal, when);
    const limit = coolestPlace(targets);
    if (limit === null) return `${animal.name} (${species.commonName}): no limit is known to hold the room against.`;
    const tender = species.neverPropose.includes('any-heater');
    const place = `the ${text(limit.high)} that ${lowerFirst(temperatureNames[limit.kind])} may have at most`;
    const start = `${animal.name} (${species.commonName}): in ${monthNames[month - 1]!} the room has ${text(celsius)} in the mean`;
    return celsius > limit.high
      ? `${start}, warmer than ${place}. Nothing in the box can be cooler than that without help: shade, moving air from a fan, a cooler room, or chilling${tender ? '; never a heater' : ', and heaters off'}. Ask a reptile vet before it comes to that.`
      : `${start}, no warmer than ${place}. Hot afternoons are above the mean: measure the cool end on one.${tender ? ' Shade, a fan, a cooler room or chilling help then; never a heater.' : ''}`;
  });
  return [...new Set(sentences)];
}

function waterPart(fitted: readonly Fitting[], ledger: Given['ledger']): WarmthPage['water'] {
  const heaters = fitted.filter((one) => one.kind === 'water-heater');
  if (heaters.length === 0) return null;
  const { pricePerKwh, currency, locale } = ledger;
  return {
    table: {
      columns: [warmthPageWords.watts, warmthPageWords.costMonth, warmthPageWords.thermostat],
      rows: heaters.map((one) => {
        const cost = powerCost(one, pricePerKwh, currency);
        const thermostats = fitted.filter(({ kind, regulates }) => kind === 'thermostat' && regulates === one.id);
        return {
          head: one.name,
          cells: [
            one.watts === null ? 'unknown' : watts(one.watts),
            cost.status === 'known' ? formatMoney(cost.cost, currency, locale) : 'unknown',
            thermostats.length === 0
              ? warmthPageWords.noOtherThermostat
              : `yes: ${listed(thermostats.map(({ name }) => `“${name}”`))}`,
          ],
        };
      }),
    },
    sentence: waterHeatSentence,
  };
}

function costsPart(fitted: readonly Fitting[], ledger: Given['ledger']): WarmthPage['costs'] {
  const { pricePerKwh, currency, locale } = ledger;
  const lines = fitted
    .map((one) => ({ one, cost: powerCost(one, pricePerKwh, currency) }))
    .filter(({ cost }) => cost.status !== 'none');
  if (lines.length === 0) return null;
  const energies = lines.map(({ one }) =>
    one.watts === null || one.hoursPerDay === null ? null : monthlyKwh(one.watts, one.hoursPerDay, one.duty ?? 1),
  );
  const costs = lines.flatMap(({ cost }) => (cost.status === 'known' ? [cost.cost] : []));
  const least = energies.includes(null) ? warmthPageWords.atLeast27 : '';
  const sum = energies.reduce<number>((total, one) => total + (one ?? 0), 0);
  const price = (amount: Money) => formatMoney(amount, currency, locale);
  return {
    table: {
      columns: [
        warmthPageWords.watts,
        warmthPageWords.hoursDay,
        warmthPageWords.shareTime,
        warmthPageWords.energyMonthly,
        warmthPageWords.costMonth,
      ],
      rows: [
        ...lines.map(({ one, cost }, place) => {
          const energy = energies[place] ?? null;
          return {
            head: one.name,
            cells: [
              one.watts === null ? 'unknown' : watts(one.watts),
              one.hoursPerDay === null ? 'unknown' : figure(one.hoursPerDay),
              one.duty === null ? warmthPageWords.takenAsAll : percent(one.duty),
              energy === null ? 'unknown' : figure(energy),
              cost.status === 'known' ? price(cost.cost) : 'unknown',
            ],
          };
        }),
        {
          head: warmthPageWords.together,
          cells: [
            '–',
            '–',
            '–',
            `${least}${figure(sum)}`,
            pricePerKwh === null || costs.length === 0 ? 'unknown' : `${least}${price(sumMoney(costs))}`,
          ],
        },
      ],
    },
    notes: pricePerKwh === null ? [warmthPageWords.costUnknown] : [],
  };
}
