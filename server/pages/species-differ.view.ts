// What the page of a species says of its sources: how well its figures are known, and where sources differ, side by side.

import { countFiguresOf, figuresWithOthers } from '../../src/care-figures.ts';
import { adultDemands, type DemandSpan, spansOf } from '../../src/space-demands.ts';
import type { CareLibrary, RuleSet, Species, TemperatureKind } from '../../src/species.ts';
import type { UnitSystem } from '../../src/units.ts';
import { formatQuantity, formatSpan } from '../../src/units.ts';
import { amountWords, differWords, dimensionNames, knownSentence } from '../species-words.ts';
import { capital, ruleSetNames, temperatureNames } from '../words.ts';
import { type SourceNote, sourceNote } from './source-note.ts';

/** The section as views/partials/sources-differ.hbs draws it; `lead` says so when no sources differ. */
export type SourcesDiffer = {
  known: string;
  lead: string;
  groups: { heading: string; lead: string | null; rows: { what: string; text: string; source: SourceNote }[] }[];
};

/** Where the sources of a species give different answers: UV zones, ceilings of its zones, room for an adult, and figures in notes. */
export function sourcesDiffer(
  species: Species,
  library: CareLibrary,
  ruleSets: readonly RuleSet[],
  system: UnitSystem,
): SourcesDiffer {
  const { uv } = species;
  const zones = new Set(uv.zones.map(({ zone }) => zone));
  const bands = library.uvZones.filter(({ zone }) => zones.has(zone));
  const { mm, demands } = adultDemands(species, ruleSets);
  const adult = formatQuantity(mm, 'length', system);
  const groups: SourcesDiffer['groups'] = [
    {
      heading: 'UV zone',
      lead: differWords.zonesLead,
      rows:
        zones.size < 2
          ? []
          : uv.zones.map((one) => {
              const band = bands.find(({ zone }) => zone === one.zone);
              const mean =
                band === undefined
                  ? 'What it means is unknown.'
                  : `Mean exposure ${formatSpan(band.meanLow, band.meanHigh, 'uv-index', 'metric')} UV index.`;
              return { what: `Zone ${one.zone}`, text: mean, source: sourceNote(library, one) };
            }),
    },
    ...bands
      .filter(({ ceilings }) => new Set(ceilings.map(({ uvi }) => uvi)).size > 1)
      .map(({ zone, ceilings }) => ({
        heading: `Highest exposure recorded in zone ${zone}`,
        lead: differWords.ceilingLead,
        rows: ceilings.map((one) => ({
          what: `UV index ${formatQuantity(one.uvi, 'uv-index', 'metric')}`,
          text: 'A ceiling, not a target.',
          source: sourceNote(library, one),
        })),
      })),
    {
      heading: `Room for one adult of ${adult}`,
      lead: differWords.roomLead,
      rows: spansOf(demands)
        .filter(({ least, most }) => least.amount < most.amount)
        .flatMap((span) => roomRows(span, library, system)),
    },
    {
      heading: 'Other figures',
      lead: differWords.otherLead,
      rows: figuresWithOthers(species).map((one) => {
        const place = /^temperatures\.(\d+)$/.exec(one.path)?.[1];
        const target = place === undefined ? null : species.temperatures[Number(place)]!;
        return target === null
          ? { what: 'Humidity', text: humidityText(species), source: sourceNote(library, one) }
          : {
              what: capital(temperatureNames[target.kind as TemperatureKind]),
              text: `Taken here: ${formatSpan(target.low, target.high, 'temperature', system)}.`,
              source: sourceNote(library, one),
            };
      }),
    },
  ].filter(({ rows }) => rows.length > 0);
  return {
    known: knownSentence(countFiguresOf(species, library)),
    lead: groups.length === 0 ? differWords.none : differWords.lead,
    groups,
  };
}

function roomRows({ dimension, least, most, silent }: DemandSpan, library: CareLibrary, system: UnitSystem) {
  const name = dimensionNames[dimension];
  const line = (word: string, { rule, amount }: DemandSpan['least'], more = '') => ({
    what: `${name}: ${word}`,
    text: `${amountWords(dimension, amount, system)}, by “${rule.title}” (${ruleSetNames[rule.ruleSet]}).${more}`,
    source: sourceNote(library, rule),
  });
  return [line('the least', least, differWords.silentRules(silent, dimension)), line('the most', most)];
}

function humidityText({ humidity: { day, night } }: Species): string {
  const span = (band: { low: number; high: number }) => formatSpan(band.low, band.high, 'humidity', 'metric');
  return `Taken here: ${night === null ? span(day) : `${span(day)} by day, ${span(night)} at night`}.`;
}
