// What the page of two species shows, already in words: each target of both with its source, and what the two share.

import type { Scoring } from '../../src/score.ts';
import type { Cited, Species } from '../../src/species.ts';
import { compareSpecies, type SpaceOverlap, type SpeciesComparison } from '../../src/species-comparison.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatSpan } from '../../src/units.ts';
import { type Field, selectField } from '../fields.ts';
import { startForm } from '../forms.ts';
import {
  activityWords,
  groupWords,
  habitWords,
  measureNames,
  temperatureNames,
  uvNeedWords,
  zoneWords,
} from '../kind-words.ts';
import { paths } from '../paths.ts';
import { spaceNeedWords } from '../score-words.ts';
import { amountWords, compareWords, dimensionNames, lawWords, overlapSentence } from '../species-words.ts';
import { capital } from '../words.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

type Side = { text: string; sources: SourceNote[] };
type NamedSide = Side & { name: string; href: string };
type Row = { what: string; a: Side; b: Side; shared: string };

type SpeciesComparePage = {
  heading: string;
  lead: string;
  apart: string;
  law: string;
  action: string;
  selects: Field[];
  ask: string | null;
  /** With one species chosen, those that the keeper has. */
  kept: { label: string; href: string }[];
  pair: {
    sections: { id: string; heading: string; rows: { what: string; sides: NamedSide[]; shared: string }[] }[];
    left: string;
  } | null;
};

/** The page of two species; of one or none, it asks for the others. */
export function speciesComparePage(
  chosen: { a: Species | null; b: Species | null },
  { library, choices, collection }: Scoring,
  system: UnitSystem,
): SpeciesComparePage {
  const { a, b } = chosen;
  const form = startForm({ a: a?.id ?? '', b: b?.id ?? '' });
  const answers = library.species
    .map(({ id, commonName, scientificName }) => ({ value: id, label: `${commonName} (${scientificName})` }))
    .toSorted((one, other) => one.label.localeCompare(other.label, 'en'));
  const select = (name: 'a' | 'b', label: string) =>
    selectField(form, name, label, [{ value: '', label: 'Choose a species' }, ...answers], { width: 'wide' });
  const ask = a === null || b === null ? compareWords.askTwo : a.id === b.id ? compareWords.askAnother : null;
  return {
    heading: 'Two species side by side',
    lead: compareWords.lead,
    apart: compareWords.apart,
    law: lawWords.check,
    action: paths.species.compare(),
    selects: [select('a', 'The first'), select('b', 'The second')],
    ask,
    kept: a === null || ask === null ? [] : keptBeside(a),
    pair: a === null || b === null || ask !== null ? null : { sections: laidOut(a, b), left: compareWords.left },
  };

  function keptBeside(one: Species) {
    const ids = new Set(collection.animals.map(({ speciesId }) => speciesId));
    return library.species
      .filter(({ id }) => ids.has(id) && id !== one.id)
      .map(({ id, commonName }) => ({
        label: `${one.commonName} beside ${commonName}`,
        href: paths.species.compare(one.id, id),
      }));
  }

  function laidOut(first: Species, second: Species) {
    const named = (one: Species, side: Side): NamedSide => ({
      name: one.commonName,
      href: paths.species.show(one.id),
      ...side,
    });
    return sectionsOf(first, second).map(({ id, heading, rows }) => ({
      id,
      heading,
      rows: rows.map((row) => ({
        what: row.what,
        sides: [named(first, row.a), named(second, row.b)],
        shared: row.shared,
      })),
    }));
  }

  function sectionsOf(first: Species, second: Species) {
    const both = { a: first, b: second };
    const names = { a: first.commonName, b: second.commonName };
    const comparison = compareSpecies(first, second, library, choices.ruleSets);
    const side = (text: string, ...cited: Cited[]): Side => ({
      text,
      sources: cited.map((one) => sourceNote(library, one)),
    });
    const { temperatures, humidity } = comparison;
    const degrees = { dimension: 'temperature', difference: 'temperature-difference', system } as const;
    return [
      {
        id: 'kind',
        heading: 'What they are',
        rows: [
          {
            what: 'Kind',
            a: side(kindText(first)),
            b: side(kindText(second)),
            shared: '',
          },
          {
            what: 'Adult size',
            a: side(sizeText(first, system), first.adultSize),
            b: side(sizeText(second, system), second.adultSize),
            shared: first.adultSize.measure === second.adultSize.measure ? '' : compareWords.otherMeasure,
          },
        ],
      },
      {
        id: 'temperature',
        heading: 'Temperature',
        rows: temperatures.map(({ kind, overlap, threatens, ...of }): Row => {
          const one = (which: 'a' | 'b') => {
            const target = of[which];
            if (target === null) return side('No target.');
            return side(`${formatSpan(target.low, target.high, 'temperature', system)}.`, target);
          };
          const danger = threatens.map((which) =>
            compareWords.threatens(names[which], names[which === 'a' ? 'b' : 'a']),
          );
          return {
            what: capital(temperatureNames[kind]),
            a: one('a'),
            b: one('b'),
            shared: [overlapSentence(overlap, names, degrees), ...danger].join(' '),
          };
        }),
      },
      {
        id: 'humidity',
        heading: 'Humidity of the air',
        rows: humidity.map(({ time, overlap, ...of }): Row => {
          const one = (which: 'a' | 'b') => {
            const range = of[which];
            const text =
              range === null ? 'Any: it is not scored.' : `${formatSpan(range.low, range.high, 'humidity', 'metric')}.`;
            return side(text, both[which].humidity);
          };
          return {
            what: time === 'day' ? 'By day' : 'At night',
            a: one('a'),
            b: one('b'),
            shared: overlapSentence(overlap, names, { dimension: 'humidity', system: 'metric' }),
          };
        }),
      },
      { id: 'uv', heading: 'UV', rows: uvRows(both, names, comparison, side) },
      {
        id: 'space',
        heading: 'Room for one adult of each',
        rows: spaceRows(comparison.space, names),
      },
    ].filter(({ rows }) => rows.length > 0);
  }

  function uvRows(
    both: Record<'a' | 'b', Species>,
    names: Record<'a' | 'b', string>,
    { uv, uvHours }: SpeciesComparison,
    side: (text: string, ...cited: Cited[]) => Side,
  ): Row[] {
    const need = (one: Species) => side(uvNeedWords[one.uv.need], one.uv.needCited);
    const mean = (which: 'a' | 'b') => {
      const range = uv[which];
      if (range === null) return side('No zone is known.');
      const { zones } = both[which].uv;
      const span = formatSpan(range.low, range.high, 'uv-index', 'metric');
      return side(`${capital(zoneWords(zones.map(({ zone }) => zone)))}: mean exposure ${span} UV index.`, ...zones);
    };
    const hours = ({ uv: { hours: one } }: Species) =>
      side(`${formatSpan(one.low, one.high, 'hours', 'metric')}.`, one);
    const isAlike = both.a.uv.need === both.b.uv.need;
    return [
      {
        what: 'Need',
        a: need(both.a),
        b: need(both.b),
        shared: isAlike ? 'The same for both.' : compareWords.otherUvNeed,
      },
      ...(uv.overlap === null
        ? []
        : [
            {
              what: 'Mean exposure',
              a: mean('a'),
              b: mean('b'),
              shared: overlapSentence(uv.overlap, names, { dimension: 'uv-index', system: 'metric' }),
            },
          ]),
      {
        what: 'Hours a day',
        a: hours(both.a),
        b: hours(both.b),
        shared: overlapSentence(uvHours, names, { dimension: 'hours', system: 'metric' }),
      },
    ];
  }

  function spaceRows(
    { a: ofA, b: ofB, directions }: SpeciesComparison['space'],
    names: Record<'a' | 'b', string>,
  ): Row[] {
    const whole = (needed: typeof ofA): Side => ({
      text: needed === null ? 'No rule that counts gives a figure.' : `${capital(spaceNeedWords(needed, system))}.`,
      sources: [],
    });
    const said = directions.map((one) => directionWords(one, names));
    return [
      {
        what: 'By all rules that count',
        a: whole(ofA),
        b: whole(ofB),
        shared: said.length === 0 ? 'Nothing can be compared.' : said.join(' '),
      },
    ];
  }

  function directionWords(
    { dimension, a: ofA, b: ofB, times }: SpaceOverlap,
    names: Record<'a' | 'b', string>,
  ): string {
    const name = dimensionNames[dimension];
    if (ofA === null || ofB === null) {
      const has = ofA === null ? 'b' : 'a';
      return `${name}: asked for ${names[has]} only, ${amountWords(dimension, (ofA ?? ofB)!, system)}.`;
    }
    if (times! < 1.005) return `${name}: the same for both.`;
    const larger = ofA > ofB ? 'a' : 'b';
    return `${name}: ${names[larger]} needs ${formatTimes(times!)} times as much.`;
  }
}

function kindText(one: Species): string {
  return `${capital(groupWords[one.group])}; ${habitWords[one.habit]}; active ${activityWords[one.activity]}.`;
}

function sizeText({ adultSize: { lowMm, highMm, measure } }: Species, system: UnitSystem): string {
  return `${formatSpan(lowMm, highMm, 'length', system)} ${measureNames[measure]}.`;
}

function formatTimes(times: number): string {
  return times < 10 ? times.toFixed(1).replace('.0', '') : String(Math.round(times));
}
