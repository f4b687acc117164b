// The pages of species: a list that can be searched by any name, and one species with every target, its source and how well it is known.

import type { FastifyInstance } from 'fastify';
import { AppError } from '../../src/errors.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { formSentences } from '../words.ts';
import { speciesListPage, speciesPage } from './species.view.ts';

export function speciesPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  app.get(paths.species.list, (request, reply) => {
    const { q } = (request.query ?? {}) as { q?: unknown };
    const { scoring } = gatherScoring(db, library(), now());
    const model = speciesListPage(scoring, typeof q === 'string' ? q.slice(0, 80) : '');
    return render(reply, 'species-list', model, { title: model.heading, current: 'species' });
  });

  app.get(paths.species.show(':key'), (request, reply) => {
    const { key } = request.params as { key: string };
    const species = library().species.find((one) => one.id === key);
    if (species === undefined) throw new AppError('not_found', formSentences.neverThere);
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const model = speciesPage(species, scoring, ledger.unitSystem);
    return render(reply, 'species', model, {
      title: model.heading,
      current: 'species',
      back: { href: paths.species.list, label: 'All species' },
    });
  });
}
