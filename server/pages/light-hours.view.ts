// What the part on hours of light of an enclosure's heat page shows, already in words: whose day each species' lamps follow, its timer table,
// its source, and which lamps are set otherwise this month.

import type { PlainDate } from '../../src/calendar.ts';
import { addMonths, type ClockHours, formatClock, monthOf, monthOfYear } from '../../src/calendar.ts';
import type { Setup } from '../../src/collection.ts';
import { UV_LAMPS } from '../../src/collection.ts';
import type { DayWay, LightMonth, LightYear, SeasonRule } from '../../src/light-hours.ts';
import { dayWaysOf, lampsBeside, lightYear, SEASON_RULES } from '../../src/light-hours.ts';
import type { CareLibrary, Species } from '../../src/species.ts';
import { speciesOf, targetsFor } from '../../src/species.ts';
import type { Ledger } from '../db/ledger.ts';
import { type Field, selectField } from '../fields.ts';
import { startForm } from '../forms.ts';
import { monthNames } from '../kind-words.ts';
import { paths } from '../paths.ts';
import {
  dayWayNames,
  hoursText,
  lampHoursSentence,
  lightYearSentences,
  seasonRuleNames,
  uvHoursText,
} from '../warmth-words.ts';
import { capital, listed } from '../words.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

/** The hours of light as views/pages/warmth.hbs draws them. */
export type LightPart = {
  /** Null where there is nothing to choose. */
  form: { action: string; fields: Field[]; submit: string } | null;
  species: {
    heading: string;
    tableId: string;
    caption: string;
    columns: string[];
    rows: { head: string; cells: string[] }[];
    sentences: string[];
    source: SourceNote | null;
    lampsHeading: string;
    lamps: string[];
  }[];
  /** Those of whose day nothing is known. */
  lacking: string | null;
  /** Whether days were asked for, so that their months stand opened. */
  isAsked: boolean;
  nobody: boolean;
  /** Whether the latitude of the keeper is missing from the settings. */
  latitudeMissing: boolean;
};

/** What was gathered for the part. `asked` holds the choices in the address: any text, of which only known answers count. */
export type AroundLight = {
  setup: Setup;
  library: CareLibrary;
  ledger: Pick<Ledger, 'latitude' | 'clockHours'>;
  today: PlainDate;
  asked: Readonly<Record<string, unknown>>;
};

// `restMonths`: the months of the year (1-12) in which every one of them rests and is to have no lamp.
type Dweller = { field: string; species: Species; names: string[]; rests: boolean; restMonths: number[] };

// Noon by the clock: of the place only the latitude is known.
const NOON_MINUTES = 12 * 60;

const SEASONS_FIELD = 'seasons';

/** The hours of light in one enclosure. */
export function lightPart(around: AroundLight): LightPart {
  const { setup, ledger, asked } = around;
  const { latitude } = ledger;
  const dwellers = dwellersOf(around);
  const seasons = SEASON_RULES.find((rule) => rule === asked[SEASONS_FIELD]) ?? 'keeper';
  const choices = dwellers.map((one) => {
    const ways = dayWaysOf(one.species, latitude);
    return { ...one, ways, way: ways.find((way) => way === asked[one.field]) ?? ways[0] };
  });
  const values = Object.fromEntries([
    [SEASONS_FIELD, seasons],
    ...choices.map(({ field, way }) => [field, way ?? ''] as const),
  ]);
  const form = startForm(values);
  const fields = [
    ...choices
      .filter(({ ways }) => ways.length > 1)
      .map(({ field, species, ways }) =>
        selectField(
          form,
          field,
          `Day for ${species.commonName}`,
          ways.map((value) => ({ value, label: dayWayNames[value] })),
        ),
      ),
    ...(latitude === null || choices.every(({ ways }) => ways.length === 0 || ways[0] === 'keeper')
      ? []
      : [
          selectField(
            form,
            SEASONS_FIELD,
            'Seasons',
            SEASON_RULES.map((value) => ({ value, label: seasonRuleNames[value] })),
          ),
        ]),
  ];
  const lacking = choices.filter(({ way }) => way === undefined).map(({ species }) => species.commonName);
  return {
    form:
      fields.length === 0
        ? null
        : { action: `${paths.enclosures.warmth(setup.enclosure.id)}#light`, fields, submit: 'Show these days' },
    species: choices.flatMap(({ way, ...one }) => (way === undefined ? [] : [yearOf(one, way, seasons, around)])),
    lacking:
      lacking.length === 0
        ? null
        : `${capital(listed(lacking))}: neither its home’s latitude nor published hours of light are known.`,
    isAsked: Object.keys(values).some((name) => asked[name] !== undefined),
    nobody: dwellers.length === 0,
    latitudeMissing: latitude === null,
  };
}

// Species with targets for one animal alone stand by themselves.
function dwellersOf({ setup, library, today }: AroundLight): Dweller[] {
  const found = new Map<Species, Dweller>();
  for (const animal of setup.occupants) {
    const species = speciesOf(library, animal);
    const isShared = library.species.includes(species);
    const before = found.get(species);
    const dark = darkMonths(species, animal, today);
    found.set(species, {
      field: isShared ? `day-${species.id}` : `day-${species.id}-${animal.id}`,
      species,
      names: [...(before?.names ?? []), animal.name],
      rests: (before?.rests ?? false) || targetsFor(species, animal, monthOf(today)).season !== 'active',
      restMonths: before === undefined ? dark : before.restMonths.filter((month) => dark.includes(month)),
    });
  }
  return [...found.values()];
}

// The months in which an animal rests and UV counts for nothing.
function darkMonths(species: Species, animal: Parameters<typeof targetsFor>[1], today: PlainDate): number[] {
  return Array.from({ length: 12 }, (_, index) => addMonths(monthOf(today), index)).flatMap((month) => {
    const { season, needsOff } = targetsFor(species, animal, month);
    return season === 'winter-rest' && needsOff.includes('uv') ? [monthOfYear(month)] : [];
  });
}

function yearOf(
  { field, species, names, rests, restMonths }: Dweller,
  way: DayWay,
  seasons: SeasonRule,
  { setup, library, ledger, today }: AroundLight,
): LightPart['species'][number] {
  const year = lightYear({
    needs: species,
    way,
    seasons,
    keeperLatitude: ledger.latitude,
    year: Number(today.slice(0, 4)),
    middayMinutes: NOON_MINUTES,
  });
  const month = year.months[monthOfYear(monthOf(today)) - 1]!;
  const lamps = lampsBeside(month, setup.fittings, today);
  const monthName = monthNames[month.month - 1]!;
  return {
    heading: `${species.commonName} (${listed(names)})`,
    tableId: `${field}-table`,
    caption: `When lamps switch for ${species.commonName}, month by month`,
    columns: ['Lamps on for', 'On', 'Off', ...dayColumns[year.way], 'UV for the score'],
    rows: year.months.map((one) => ({
      head: monthNames[one.month - 1]!,
      cells: restMonths.includes(one.month) ? restingCells(year.way) : cellsOf(one, year.way, ledger.clockHours),
    })),
    sentences: [
      ...lightYearSentences(year, species.homeLatitude, ledger.latitude),
      `“UV for the score” holds the hours of a UV lamp between ${hoursText(species.uv.hours.low)} and ${hoursText(species.uv.hours.high)}, which alone are scored; where they are fewer, other light makes up the day.`,
    ],
    source: sourceOf(year, species, library),
    lampsHeading: `Lamps set in ${monthName}`,
    lamps: rests
      ? ['In a season of rest its rest says how long the light is on, not this table.']
      : lamps.length === 0
        ? ['No lamp is entered as fitted.']
        : lamps.map((one) => lampHoursSentence(one, monthName, isUv(setup, one.lampId))),
  };
}

function isUv({ fittings }: Setup, id: string): boolean {
  return fittings.some((one) => one.id === id && UV_LAMPS.has(one.kind));
}

// What a row says of the day itself. The middle of told hours is what the lamps are on for.
const dayColumns: Readonly<Record<DayWay, string[]>> = {
  home: ['Sun is up', 'Within its range'],
  published: ['Hours told'],
  keeper: ['Sun is up'],
};

function cellsOf({ day, light, uv }: LightMonth, way: DayWay, clock: ClockHours): string[] {
  const sun = hoursText(day.likely);
  const span = `${hoursText(day.low)} to ${hoursText(day.high)}`;
  const days: Record<DayWay, string[]> = { home: [sun, span], published: [span], keeper: [sun] };
  return [
    hoursText(light.timerHours),
    light.switches === null ? '–' : formatClock(light.switches.onMinutes, clock),
    light.switches === null ? '–' : formatClock(light.switches.offMinutes, clock),
    ...days[way],
    uvHoursText(uv),
  ];
}

function restingCells(way: DayWay): string[] {
  return ['off: winter rest', '–', '–', ...dayColumns[way].map(() => '–'), 'none: winter rest'];
}

function sourceOf(year: LightYear, species: Species, library: CareLibrary): SourceNote | null {
  switch (year.way) {
    case 'home':
      return sourceNote(library, species.homeLatitude);
    case 'published':
      return sourceNote(library, species.lightHours);
    case 'keeper':
      return null;
  }
}
