// The page that puts the targets of two species side by side, for choosing which one to begin a relative from or for seeing how far apart
// two animals' needs lie.

import type { FastifyInstance } from 'fastify';
import type { Species } from '../../src/species.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { speciesComparePage } from './species-compare.view.ts';

export function speciesComparePages(app: FastifyInstance, { db, library, now, render }: Deps): void {
  app.get(paths.species.compare(), (request, reply) => {
    const { a, b } = (request.query ?? {}) as { a?: unknown; b?: unknown };
    const { ledger, scoring } = gatherScoring(db, library(), now());
    const find = (id: unknown): Species | null => scoring.library.species.find((one) => one.id === id) ?? null;
    const model = speciesComparePage({ a: find(a), b: find(b) }, scoring, ledger.unitSystem);
    return render(reply, 'species-compare', model, {
      title: model.heading,
      current: 'species',
      back: { href: paths.species.list, label: 'All species' },
    });
  });
}
