// The page of heat, power and hours of light of one enclosure. Gathers the box, its room and who lives there; what it loses and what holds
// it warm is decided in src/.

import type { FastifyInstance } from 'fastify';
import { setupOf } from '../../src/collection.ts';
import { AppError } from '../../src/errors.ts';
import { findEnclosure } from '../db/collection.ts';
import { listRooms } from '../db/rooms.ts';
import { formSentences } from '../form-words.ts';
import { idFrom } from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { warmthPage } from './warmth.view.ts';

export function warmthPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  app.get(paths.enclosures.warmth(':id'), (request, reply) => {
    const row = findEnclosure(db, idFrom(request.params));
    if (row === null) throw new AppError('not_found', formSentences.neverThere);
    if (row.removedOn !== null) throw new AppError('not_found', formSentences.wasRemoved);
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const room = listRooms(db).find((one) => one.id === row.build.roomId) ?? null;
    const model = warmthPage({
      setup: setupOf(scoring.collection, row.id),
      room,
      library: scoring.library,
      ledger,
      today,
      asked: request.query as Record<string, unknown>,
    });
    return render(reply, 'warmth', model, {
      title: model.heading,
      current: 'enclosures',
      back: { href: paths.enclosures.show(row.id), label: row.name },
    });
  });
}
