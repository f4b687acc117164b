// The page of heat, power and hours of light of one enclosure. Gathers the box, its room and who lives there; what it loses and what holds
// it warm is decided in src/.

import type { FastifyInstance } from 'fastify';
import { setupOf } from '../../src/collection.ts';
import { findEnclosure } from '../db/collection.ts';
import { listRooms } from '../db/rooms.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { warmthPage } from './warmth.view.ts';

export function warmthPages(app: FastifyInstance, { db, now, library, render }: Deps): void {
  app.get(paths.enclosures.warmth(':id'), (request, reply) => {
    const row = presentRow(findEnclosure(db, idFrom(request.params)));
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
