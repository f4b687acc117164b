// The page that draws the light of one enclosure and tells its figures.

import type { FastifyInstance } from 'fastify';
import { setupOf } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import { findEnclosure } from '../db/collection.ts';
import { idFrom } from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { formSentences } from '../words.ts';
import { lightPage } from './light.view.ts';

export function lightPages(app: FastifyInstance, { db, now, library, parts, render }: Deps): void {
  app.get(paths.enclosures.light(':id'), (request, reply) => {
    const id = idFrom(request.params);
    const row = findEnclosure(db, id);
    if (row === null) throw new AppError('not_found', formSentences.neverThere);
    if (row.removedOn !== null) throw new AppError('not_found', formSentences.wasRemoved);
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const model = lightPage({
      setup: setupOf(scoring.collection, row.id),
      library: scoring.library,
      parts,
      system: ledger.unitSystem,
      today,
    });
    return render(reply, 'light', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: model.backHref, label: row.name },
    });
  });
}
