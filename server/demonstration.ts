// How the demonstration is shown beside a keeper's own ledger: made when it is first looked at, in a database in memory that is forgotten
// with the program, served by an application of its own under one prefix. No request of the one can reach the database of the other.

import type { IncomingMessage } from 'node:http';
import { text } from 'node:stream/consumers';
import type { FastifyInstance, FastifyRequest } from 'fastify';
import { paths } from './paths.ts';
import type { Render } from './render.ts';
import { demonstrationPage } from './start-words.ts';

/** An application that is made when it is asked for. */
export type ShownLedger = {
  /** Begins to make it, once; a failure to make it is thrown to every caller, and the next call tries again. */
  open: () => Promise<FastifyInstance>;
  /** Ends it, when it was made. */
  close: () => Promise<void>;
};

/** A ledger that is made once by a function, which gives the application and how it is ended. */
export function shownWhenAsked(make: () => Promise<{ app: FastifyInstance; end: () => Promise<void> }>): ShownLedger {
  let made: ReturnType<typeof make> | null = null;
  return {
    open: async () => {
      made ??= make();
      try {
        return (await made).app;
      } catch (problem) {
        made = null;
        throw problem;
      }
    },
    close: async () => {
      const open = made;
      made = null;
      if (open !== null) await (await open.catch(() => null))?.end();
    },
  };
}

/**
 * Registers everything below the prefix with the application of another ledger, past the gate of this one. A form of somebody who has to sign
 * in first is read by `readForm`, to be shown again.
 */
export function showBeside(
  app: FastifyInstance,
  shown: ShownLedger,
  render: Render,
  readForm: (text: string) => Record<string, unknown>,
): void {
  const prefix = paths.demonstration;
  let state: 'none' | 'making' | 'ready' | 'failed' = 'none';

  app.get(prefix, (request, reply) => {
    if (state === 'ready') return reply.redirect(`${prefix}/`, 303);
    if (state !== 'making') {
      state = 'making';
      shown.open().then(
        () => {
          state = 'ready';
        },
        (fault) => {
          state = 'failed';
          request.log.error({ err: fault }, 'the demonstration could not be made');
        },
      );
    }
    return render(reply, 'demonstration', demonstrationPage(prefix), {
      title: demonstrationPage(prefix).heading,
      current: null,
    });
  });

  app.register(async (scope) => {
    // The body is left unread for the other application, unless it does not get there.
    scope.removeAllContentTypeParsers();
    scope.addContentTypeParser('*', async (request: FastifyRequest, payload: IncomingMessage) =>
      request.isKeptForm ? readForm(await text(payload)) : null,
    );
    scope.all(`${prefix}/*`, async (request, reply) => {
      const other = await shown.open();
      state = 'ready';
      reply.hijack();
      request.raw.url = request.raw.url!.slice(prefix.length);
      other.routing(request.raw, reply.raw);
    });
  });
  app.addHook('onClose', () => shown.close());
}
