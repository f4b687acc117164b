// One page about one animal for its vet: readings with instrument and date beside their targets, weights and signs, and what was changed
// since the last visit.

import type { FastifyInstance } from 'fastify';
import { addMonthsToDate, formatDate } from '../../src/calendar.ts';
import { isFitted, setupOf } from '../../src/collection.ts';
import { scoreAnimal, targetsOn } from '../../src/score.ts';
import { speciesOf } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, formatSize, formatSpan } from '../../src/units.ts';
import {
  changesSince,
  lastVetVisit,
  lastWeights,
  type ReadingRow,
  readingRows,
  type SetupChange,
  zonesOf,
} from '../../src/vet-sheet.ts';
import { cautions } from '../caution-words.ts';
import { findAnimal } from '../db/collection.ts';
import { listSigns } from '../db/signs.ts';
import { differenceWords } from '../fitting-words.ts';
import {
  materialNames,
  measureNames,
  monthNames,
  readingDimensions,
  readingNames,
  seasonWords,
  stageWords,
  topNames,
} from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { vetWords as words } from '../paper-words.ts';
import { paths } from '../paths.ts';
import { reasonSentence } from '../score-words.ts';
import { gatherScoring } from '../scores.ts';
import { endingWords, signWords } from '../sign-words.ts';
import { standingWords } from '../source-words.ts';
import { capital, listed, lowerFirst } from '../words.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { sourceNote } from './source-note.ts';

// Without a visit in the ledger a year is told, and no more weights and signs than go on the page (own choices).
const MONTHS_BACK = 12;
const MOST_WEIGHTS = 8;
const MOST_SIGNS = 8;
const MOST_CHANGES = 12;

/** What views/pages/vet-sheet.hbs shows. */
type VetSheetPage = {
  heading: string;
  lead: string;
  facts: { term: string; value: string }[];
  readings: { what: string; value: string; taken: string; target: string; standing: string }[];
  weights: { day: string; weight: string }[];
  noWeights: string | null;
  signs: string[];
  noSigns: string | null;
  changesHeading: string;
  changes: { day: string; what: string }[];
  noChanges: string | null;
  fromMemory: string;
  uvZones: string;
  sources: string[];
  room: string;
  cautions: string[];
};

export function vetSheetPages(app: FastifyInstance, { db, library, now, render }: Deps): void {
  app.get(paths.animals.vetSheet(':id'), (request, reply) => {
    const row = presentRow(findAnimal(db, idFrom(request.params)));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { unitSystem: system, locale } = ledger;
    const { collection } = scoring;
    const species = speciesOf(scoring.library, row);
    const animal = collection.animals.find((one) => one.id === row.id)!;
    const targets = targetsOn(animal, scoring);
    const setup = animal.enclosureId === null ? null : setupOf(collection, animal.enclosureId);
    const signs = listSigns(db, Number(row.id));
    const visit = lastVetVisit(signs);
    const since = visit ?? addMonthsToDate(today, -MONTHS_BACK);
    const day = (on: typeof today) => formatDate(on, locale);
    const rows = setup === null ? [] : readingRows(setup, targets, scoring.library, today);
    const noted = signs
      .filter((one) => one.grams === null && (one.settled === null || one.notedOn >= since))
      .sort((a, b) => (a.notedOn < b.notedOn ? 1 : -1))
      .slice(0, MOST_SIGNS);
    const changes = setup === null ? [] : changesSince(setup, since, today).slice(0, MOST_CHANGES);
    const weights = lastWeights(signs, MOST_WEIGHTS);
    const memory = rows
      .filter((one) => one.target?.fromMemory === true)
      .map((one) => lowerFirst(readingNames[one.kind]));
    const cited = rows.flatMap((one) => (one.target === null ? [] : [one.target.cited]));
    // In the words of the animal's page; that a target is from memory stands beside the readings.
    const faults = [
      ...new Set(
        (scoreAnimal(animal, scoring)?.needs ?? []).flatMap((need) =>
          need.reasons.flatMap(({ reason, severe }) =>
            severe && reason.why !== 'danger-from-memory' ? [reasonSentence(reason, ledger)] : [],
          ),
        ),
      ),
    ];
    const model: VetSheetPage = {
      heading: words.heading(row.name),
      lead: words.lead(day(today)),
      facts: [
        { term: 'Species', value: `${species.commonName}, ${species.scientificName}` },
        { term: 'Sex', value: row.sex === 'unknown' ? 'not known' : row.sex },
        { term: 'Hatched or born', value: row.hatchedOn === null ? 'not known' : day(row.hatchedOn) },
        {
          term: 'Length',
          value:
            row.lengthMm === null || row.measuredOn === null
              ? 'never measured'
              : `${row.lengthTyped} ${measureNames[species.adultSize.measure]}, on ${day(row.measuredOn)}`,
        },
        { term: 'Judged as', value: `${stageWords[targets.stage]}, in ${seasonWords[targets.season]}` },
        {
          term: 'Enclosure',
          value:
            setup === null
              ? words.noEnclosure
              : `${formatSize(setup.enclosure.lengthMm, setup.enclosure.depthMm, setup.enclosure.heightMm, system)} inside, ${lowerFirst(materialNames[setup.enclosure.material])}, top ${lowerFirst(topNames[setup.enclosure.top])}, ${setup.occupants.length === 1 ? 'alone' : `${setup.occupants.length} animals`}`,
        },
        ...(row.seasons.length === 0
          ? []
          : [
              {
                term: words.seasons,
                value: listed(row.seasons.map((one) => `${seasonWords[one.season]}, ${spanWords(one)}`)),
              },
            ]),
        ...(row.seasons.length === 0 && row.vetCheckedOn === null
          ? []
          : [{ term: words.vetCheck, value: row.vetCheckedOn === null ? words.neverChecked : day(row.vetCheckedOn) }]),
        ...(faults.length === 0 ? [] : [{ term: words.faults, value: faults.join(' ') }]),
        ...(setup === null ? [] : [{ term: words.fittedNow, value: fittedNow() }]),
      ],
      readings: rows.map((one) => readingView(one, system, day)),
      weights: weights.map(({ on, grams }) => ({ day: day(on), weight: formatQuantity(grams, 'mass', system) })),
      noWeights: weights.length === 0 ? words.noWeights : null,
      signs: noted.map((one) => {
        const end = one.settled === null ? 'open' : `${endingWords[one.settled.how]}, ${day(one.settled.on)}`;
        return `${day(one.notedOn)}: ${signWords(one, '')}${one.notes === '' ? '' : ` (${one.notes})`}; ${end}.`;
      }),
      noSigns: noted.length === 0 ? words.noSigns : null,
      changesHeading: words.changes(visit === null ? null : day(visit)),
      changes: changes.map((one) => ({ day: day(one.on), what: changeWords(one) })),
      noChanges: changes.length === 0 ? words.noChanges : null,
      fromMemory: memory.length === 0 ? words.fromMemoryNone : `${words.fromMemory}: ${listed(memory)}.`,
      uvZones: words.uvZones(
        listed(zonesOf(species, scoring.library).map(({ zone, standing }) => `${zone} (${standingWords[standing]})`)) ||
          'none in the library',
      ),
      sources: [
        ...new Set(
          [...cited, ...species.uv.zones].map((one) => {
            const { text, sureness } = sourceNote(scoring.library, one);
            return `${text} (${sureness})`;
          }),
        ),
      ],
      room: words.room,
      cautions: [cautions.vet],
    };
    return render(reply, 'vet-sheet', model, {
      title: model.heading,
      current: 'animals',
      back: { href: paths.animals.show(row.id), label: row.name },
    });

    function fittedNow(): string {
      const names = setup!.fittings.filter((one) => isFitted(one, today)).map((one) => one.name);
      return names.length === 0 ? 'nothing is entered' : listed(names);
    }
  });
}

function readingView(
  { kind, reading, target, before }: ReadingRow,
  system: UnitSystem,
  day: (on: NonNullable<ReadingRow['reading']>['takenOn']) => string,
): VetSheetPage['readings'][number] {
  const dimension = readingDimensions[kind];
  const shown = (value: number) => formatQuantity(value, dimension, system);
  const taken =
    reading === null
      ? ''
      : [
          day(reading.takenOn),
          reading.instrument === '' ? words.noInstrument : reading.instrument,
          ...(reading.evidence === 'estimated' ? [words.estimated] : []),
          ...(before ? [words.before] : []),
        ].join(', ');
  return {
    what: capital(readingNames[kind]),
    value:
      reading === null || reading.value === null
        ? words.unread
        : `${shown(reading.value)}${reading.accuracy === null ? '' : ` ${differenceWords(reading.accuracy, kind, system, false)}`}`,
    taken,
    target:
      target === null
        ? kind === 'uvi-basking'
          ? words.uvTarget
          : words.noTarget
        : formatSpan(target.low, target.high, dimension, system),
    standing: target === null ? '' : standingWords[target.standing],
  };
}

function spanWords({ fromMonth, toMonth }: { fromMonth: number; toMonth: number }): string {
  return `${monthNames[fromMonth - 1]} to ${monthNames[toMonth - 1]}`;
}

function changeWords(one: SetupChange): string {
  switch (one.change) {
    case 'box':
      return words.box;
    case 'fitted':
      return words.fitted(one.thing);
    case 'moved':
      return words.moved(one.thing);
    case 'taken-out':
      return words.takenOut(one.thing);
    case 'broke':
      return words.broke(one.thing);
  }
}
