// The pages by which somebody signs in and out and sees who else is signed in, and the page that keeps a form which was sent by somebody
// who is not signed in any more.

import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import { dateOfInstant } from '../../src/calendar.ts';
import { samePlace } from '../access.ts';
import { accessWords } from '../access-words.ts';
import { readLedger } from '../db/ledger.ts';
import { type ErrorSummary, errorSummary } from '../fields.ts';
import { type FormError, startForm } from '../forms.ts';
import type { Deps } from '../page.ts';
import { paths, withNotice } from '../paths.ts';
import type { Render } from '../render.ts';
import { ORIGIN_FIELD } from './sent-twice.ts';

/** What views/pages/sign-in.hbs shows. */
type SignInPage = {
  heading: string;
  lead: string | null;
  mistakes: ErrorSummary | null;
  /** What to mind before the password is typed, or null. */
  caution: string | null;
  action: string;
  /** The page that it leads to. */
  to: string;
  label: string;
  hint: string;
  error: string | null;
  submit: string;
};

/** What views/pages/signed-out.hbs shows: everything that was sent, as hidden fields. */
type SignedOutPage = {
  heading: string;
  lead: string;
  signIn: { href: string; label: string };
  thenSend: string;
  action: string;
  fields: { name: string; value: string }[];
  submit: string;
};

/** What views/pages/access.hbs shows. */
type AccessPage = {
  heading: string;
  lead: string;
  sentences: string[];
  caption: string;
  rows: { device: string; address: string; startedOn: string; lastSeenOn: string; here: string | null }[];
  /** Signs the others out; null when there are none. */
  endOthers: { action: string; submit: string } | null;
  signOut: { action: string; submit: string } | null;
};

/** Answers a form of somebody who is not signed in: it is shown to be sent again, and nothing of it is lost or done. */
export function keepForm(render: Render, request: FastifyRequest, reply: FastifyReply): FastifyReply {
  // It stays a form of the ledger that it was made from, though another may be here by now.
  const sent = Object.entries({ [ORIGIN_FIELD]: '', ...(request.body as Record<string, unknown> | null) });
  const model: SignedOutPage = {
    heading: accessWords.signedOutMeanwhile,
    lead: accessWords.signedOutSentence,
    signIn: { href: paths.access.signInFor(paths.home), label: accessWords.signInElsewhere },
    thenSend: accessWords.thenSend,
    action: samePlace(request.url),
    fields: sent.flatMap(([name, value]) => [value].flat().map((one) => ({ name, value: String(one) }))),
    submit: accessWords.sendAgain,
  };
  return render(reply, 'signed-out', model, { title: model.heading, current: null, status: 403 });
}

export function accessPages(app: FastifyInstance, { db, render, access }: Deps): void {
  const open = { config: { isOpen: true } } as const;

  app.get(paths.access.signIn, open, (request, reply) => {
    const to = samePlace(textIn(request.query, 'to'));
    return access.isAsked() && request.signIn === null ? askPassword(request, reply, to) : reply.redirect(to, 303);
  });

  app.post(paths.access.signIn, open, async (request, reply) => {
    const to = samePlace(textIn(request.body, 'to'));
    const outcome = await access.signIn(request, reply, textIn(request.body, 'password'));
    switch (outcome.status) {
      case 'signed-in':
        return reply.redirect(to, 303);
      case 'wrong':
        return askPassword(request, reply, to, { field: 'password', message: accessWords.wrong });
      case 'too-many':
        reply.header('retry-after', String(outcome.seconds));
        return tellToWait(
          reply,
          429,
          accessWords.tooMany,
          accessWords.tooManySentence(Math.ceil(outcome.seconds / 60)),
        );
      case 'busy':
        reply.header('retry-after', '10');
        return tellToWait(reply, 503, accessWords.busy, accessWords.busySentence);
    }
  });

  app.post(paths.access.signOut, (request, reply) => {
    access.signOut(request, reply);
    return reply.redirect(paths.access.signIn, 303);
  });

  app.get(paths.access.show, (request, reply) => {
    const model = accessPage(request);
    return render(reply, 'access', model, { title: model.heading, current: null });
  });

  app.post(paths.access.endOthers, (request, reply) => {
    access.endOthers(request);
    return reply.redirect(withNotice(paths.access.show, 'others-signed-out'), 303);
  });

  function askPassword(request: FastifyRequest, reply: FastifyReply, to: string, mistake?: FormError): FastifyReply {
    const form = { ...startForm(), errors: mistake === undefined ? [] : [mistake] };
    const mistakes = errorSummary(form);
    const model: SignInPage = {
      heading: accessWords.signIn,
      lead: null,
      mistakes: mistakes === null ? null : { ...mistakes, heading: accessWords.notSignedIn },
      caution: access.isPrivateWay(request) ? null : accessWords.isReadable,
      action: paths.access.signIn,
      to,
      label: accessWords.password,
      hint: accessWords.passwordHint,
      error: mistake?.message ?? null,
      submit: accessWords.signIn,
    };
    const status = mistake === undefined ? 200 : 403;
    const title = mistake === undefined ? model.heading : `${accessWords.notSignedIn}: ${model.heading}`;
    return render(reply, 'sign-in', model, { title, current: null, status });
  }

  function tellToWait(reply: FastifyReply, status: number, heading: string, sentence: string): FastifyReply {
    return render(
      reply,
      'error',
      { heading, sentence, typed: [], requestId: null },
      { title: heading, current: null, status },
    );
  }

  function accessPage(request: FastifyRequest): AccessPage {
    const { locale, timeZone } = readLedger(db);
    const dayOf = (at: number) => accessWords.on(dateOfInstant(new Date(at), timeZone), locale);
    const isAsked = access.isAsked();
    const all = isAsked ? access.list() : [];
    return {
      heading: accessWords.heading,
      lead: isAsked ? accessWords.asked : accessWords.notAsked,
      sentences: [isAsked ? accessWords.lasts : accessWords.howToAsk],
      caption: accessWords.caption,
      rows: all.map((one) => ({
        device: accessWords.devices[one.device],
        address: one.address,
        startedOn: dayOf(one.startedAt),
        lastSeenOn: dayOf(one.lastSeenAt),
        here: one.idHash === request.signIn?.idHash ? accessWords.here : null,
      })),
      endOthers: all.length > 1 ? { action: paths.access.endOthers, submit: accessWords.endOthers } : null,
      signOut: isAsked ? { action: paths.access.signOut, submit: accessWords.signOut } : null,
    };
  }
}

function textIn(fields: unknown, name: string): string {
  const text = (fields as Record<string, unknown> | null | undefined)?.[name];
  return typeof text === 'string' ? text : '';
}
