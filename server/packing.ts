// How what is sent is made small on its way: who takes it packed by gzip, and which answers are packed. A page of long tables shrinks to an
// eighth. Packing before encryption can tell who watches the lengths of answers what is in them (BREACH), where he can also make the browser
// ask for pages that repeat a text of his. There is no secret in a page to be found so: a form's mark is new each time and the sign-in is in
// a cookie. And what another site had the browser ask for, which carries what the ledger holds all the same, is not packed.

import { promisify } from 'node:util';
import { gzip } from 'node:zlib';
import type { FastifyInstance, FastifyRequest } from 'fastify';

const packedByGzip = promisify(gzip);

/** Whether who asks says that gzip is understood. */
export function takesPacked({ headers }: FastifyRequest): boolean {
  return /\bgzip\b(?!\s*;\s*q=0(\.0+)?\b)/.test(String(headers['accept-encoding'] ?? ''));
}

/** Packs every page for who takes that. Answers that stand in files are not touched, nor those that were packed at the start. */
export function packPages(app: FastifyInstance): void {
  app.addHook('onSend', async (request, reply, payload) => {
    if (typeof payload !== 'string' || !String(reply.getHeader('content-type')).startsWith('text/html')) return payload;
    // Browsers tell where a request comes from over https and on the computer itself, where lengths are all that can be watched.
    const isFromElsewhere = ['cross-site', 'same-site'].includes(String(request.headers['sec-fetch-site'] ?? 'none'));
    reply.header('vary', [reply.getHeader('vary'), 'Accept-Encoding'].filter(Boolean).join(', '));
    if (isFromElsewhere || !takesPacked(request)) return payload;
    reply.header('content-encoding', 'gzip');
    return packedByGzip(payload);
  });
}
