// A short answer for a program that watches over this one: whether the ledger's file answers. Says nothing of what the ledger holds.

import type { FastifyInstance } from 'fastify';
import { ledgerVersion } from '../db/ledger.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';

export function healthPages(app: FastifyInstance, { db }: Deps): void {
  app.get(paths.health, { config: { isOpen: true } }, (_request, reply) => {
    reply.header('cache-control', 'no-store').type('text/plain; charset=utf-8');
    try {
      ledgerVersion(db);
      return reply.send('ok\n');
    } catch {
      return reply.code(503).send('the ledger does not answer\n');
    }
  });
}
