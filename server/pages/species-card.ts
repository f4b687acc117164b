// The card of one species for a power cut and a heat wave, to print and hang beside the enclosure.

import type { FastifyInstance } from 'fastify';
import { EMERGENCIES, type EmergencyCard, emergencyCard, type Limit } from '../../src/emergency.ts';
import type { CareLibrary } from '../../src/species.ts';
import { formatQuantity, type UnitSystem } from '../../src/units.ts';
import { cautions } from '../caution-words.ts';
import { temperatureNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { emergencyNames, emergencySteps, givesWayWords, cardWords as words } from '../paper-words.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { capital, listed } from '../words.ts';
import { speciesAt } from './asked-row.ts';
import { sourceNote } from './source-note.ts';

/** What views/pages/species-card.hbs shows. */
type SpeciesCardPage = {
  heading: string;
  lead: string;
  kept: string | null;
  cards: {
    heading: string;
    first: string[];
    limits: { text: string; critical: boolean; source: string; sureness: string }[];
    noLimits: string | null;
    steps: string[];
  }[];
  vet: string;
  night: string;
  founded: string;
  cautions: string[];
};

export function speciesCardPages(app: FastifyInstance, { db, library, now, render }: Deps): void {
  app.get(paths.species.card(':key'), (request, reply) => {
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const species = speciesAt(request.params, scoring.library);
    const names = scoring.collection.animals.filter((one) => one.speciesId === species.id).map((one) => one.name);
    const model: SpeciesCardPage = {
      heading: words.heading(species.commonName),
      lead: words.lead,
      kept: names.length === 0 ? null : words.kept(listed(names)),
      cards: EMERGENCIES.map((one) => cardView(emergencyCard(species, one), scoring.library, ledger.unitSystem)),
      vet: words.vet,
      night: words.night,
      founded: words.founded,
      cautions: [cautions.mainsAndWater, cautions.unknowable],
    };
    return render(reply, 'species-card', model, {
      title: model.heading,
      current: 'species',
      back: { href: paths.species.show(species.id), label: species.commonName },
    });
  });
}

function cardView(card: EmergencyCard, library: CareLibrary, system: UnitSystem): SpeciesCardPage['cards'][number] {
  return {
    heading: emergencyNames[card.emergency],
    first: card.first.map((one) => givesWayWords[one]),
    limits: card.limits.map((one) => {
      const { text, sureness } = sourceNote(library, one.cited);
      return { text: limitWords(one, system), critical: one.critical, source: text, sureness };
    }),
    noLimits: card.limits.length === 0 ? words.noLimits : null,
    steps: card.steps.map((one) => emergencySteps[one]),
  };
}

function limitWords({ kind, side, celsius }: Limit, system: UnitSystem): string {
  const what = kind === 'anywhere' ? words.anywhere : capital(temperatureNames[kind]);
  const value = formatQuantity(celsius, 'temperature', system);
  return side === 'below' ? words.below(what, value) : words.above(what, value);
}
