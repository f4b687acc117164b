// The page of one fitting sheet, to be printed or taken along on a telephone.

import type { FastifyInstance } from 'fastify';
import { sheetFor } from '../../src/fitting-sheet.ts';
import { listOutlets, listRooms } from '../db/rooms.ts';
import { findUpgrade } from '../db/upgrades.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gatherScoring } from '../scores.ts';
import { idFrom, presentRow } from './asked-row.ts';
import { fittingSheetPage } from './fitting-sheet.view.ts';

export function fittingSheetPages(app: FastifyInstance, { db, library, now, render }: Deps): void {
  app.get(paths.upgrades.sheet(':id'), (request, reply) => {
    const upgrade = presentRow(findUpgrade(db, idFrom(request.params)));
    const { ledger, today, scoring } = gatherScoring(db, library(), now());
    const { collection } = scoring;
    const sheet = sheetFor({
      upgrade,
      collection,
      library: scoring.library,
      outlets: listOutlets(db),
      rooms: listRooms(db),
      on: upgrade.fittedOn ?? today,
      done: upgrade.status === 'fitted',
    });
    const model = fittingSheetPage(upgrade, sheet, scoring, ledger, today);
    return render(reply, 'fitting-sheet', model, {
      title: model.heading,
      current: 'upgrades',
      back: { href: paths.upgrades.show(upgrade.id), label: 'The upgrade' },
    });
  });
}
