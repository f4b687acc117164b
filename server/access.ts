// Who is let in: whether a password is asked for, who is signed in, for how long, and how often a password may be tried. Knows the cookie,
// and that what is kept of it is only a hash. Pages say which of them are open to everyone; all others are closed.

import { createHash, randomBytes } from 'node:crypto';
import cookie from '@fastify/cookie';
import rateLimit from '@fastify/rate-limit';
import type { FastifyInstance, FastifyReply, FastifyRequest } from 'fastify';
import type { AccessFile, Device, SignIn } from './db/access.ts';
import { isOverHttps, isPrivateWay, type Reach } from './gate.ts';
import { tryPassword } from './password.ts';
import { paths } from './paths.ts';

declare module 'fastify' {
  interface FastifyContextConfig {
    /** Whether a page or file is shown to people who are not signed in. */
    isOpen?: true;
  }
  interface FastifyRequest {
    /** The sign-in that the request came with; null without one, and where no password is asked for. */
    signIn: SignIn | null;
    /** Whether it is a form of somebody who has to sign in first, which is read to be shown again and for nothing else. */
    isKeptForm: boolean;
  }
}

const MINUTE = 60_000;
const DAY = 24 * 60 * MINUTE;

/** A sign-in ends when it is not used for so many days. */
export const IDLE_DAYS = 14;

/** A sign-in ends after so many days, however much it is used. */
export const LONGEST_DAYS = 90;

/** Tries at the password within a quarter of an hour: from one address, and from all together. */
export const MOST_TRIES = { fromOneAddress: 10, inAll: 50 } as const;

const TRIES_WITHIN = 15 * MINUTE;

// When a sign-in was last used is written down at most so often, so that looking at pages writes nothing.
const SEEN_EVERY = 10 * MINUTE;

/** A password is asked for on every way by which others reach the ledger, but none is set. */
export class NoPasswordSet extends Error {
  readonly statusCode = 503;
}

/** Somebody who is not signed in sent something that is too long to be shown again, or not a form. */
export class NotSignedIn extends Error {
  readonly statusCode = 403;
}

/** What came of trying to sign in. */
type SignInOutcome =
  | { status: 'signed-in' }
  | { status: 'wrong' }
  /** Too many tries; `seconds` until the next is taken. */
  | { status: 'too-many'; seconds: number }
  /** Others are being tried at this moment. */
  | { status: 'busy' };

/** Signing in and out, as pages see it. */
export type Access = {
  /** Whether a password is set, so that everyone has to sign in. */
  isAsked: () => boolean;
  /** Whether nobody on the network can read what this request is answered with and what was sent with it. */
  isPrivateWay: (request: FastifyRequest) => boolean;
  /** Tries a password; when it is right, the answer carries a cookie with a new id, and an older one of the browser ends. */
  signIn: (request: FastifyRequest, reply: FastifyReply, typed: string) => Promise<SignInOutcome>;
  signOut: (request: FastifyRequest, reply: FastifyReply) => void;
  /** Everyone who is signed in, the last used first. */
  list: () => SignIn[];
  /** Signs everyone out but the sender of a request, and says how many. */
  endOthers: (request: FastifyRequest) => number;
};

/** What signing in is built from. */
export type AccessParts = {
  file: AccessFile;
  now: () => Date;
  /** Whether others reach the ledger, so that it is shut while no password is set. */
  isRequired: boolean;
  reach: Reach;
  /** Answers somebody who is not signed in and sent a form: with the form as it was typed, to be sent again. */
  keepForm: (request: FastifyRequest, reply: FastifyReply) => FastifyReply;
  /** The longest form, in bytes, that is read from somebody who is not signed in. */
  longestForm: number;
};

/**
 * Closes every page of the application that does not call itself open to those who are not signed in, and gives what pages sign in and out
 * with. To be called before the first page is registered.
 */
export async function closePages(app: FastifyInstance, parts: AccessParts): Promise<Access> {
  const { file, now, isRequired, reach, keepForm, longestForm } = parts;
  await app.register(cookie);
  await app.register(rateLimit, { global: false });
  app.decorateRequest('signIn', null);
  app.decorateRequest('isKeptForm', false);
  const isAsked = () => file.passwordHash() !== null;

  app.addHook('onRequest', async (request, reply) => {
    if (!isAsked()) {
      if (isRequired && request.routeOptions.config?.isOpen !== true) throw new NoPasswordSet();
      return;
    }
    reply.header('cache-control', 'no-store');
    request.signIn = find(request);
    if (isLetIn(request)) return;
    if (['GET', 'HEAD'].includes(request.method)) return reply.redirect(paths.access.signInFor(request.url), 303);
    if (!isShortForm(request)) throw new NotSignedIn();
    // The form is read first, so that nothing that was typed is lost.
    request.isKeptForm = true;
  });
  app.addHook('preValidation', async (request, reply) => {
    if (request.isKeptForm || (isAsked() && !isLetIn(request))) return keepForm(request, reply);
  });

  const tries = {
    fromOneAddress: app.createRateLimit({ max: MOST_TRIES.fromOneAddress, timeWindow: TRIES_WITHIN }),
    inAll: app.createRateLimit({ max: MOST_TRIES.inAll, timeWindow: TRIES_WITHIN, keyGenerator: () => 'all' }),
  };

  function isLetIn(request: FastifyRequest): boolean {
    return request.signIn !== null || request.routeOptions.config?.isOpen === true;
  }

  function isShortForm({ headers }: FastifyRequest): boolean {
    const length = Number(headers['content-length']);
    return (headers['content-type'] ?? '').startsWith('application/x-www-form-urlencoded') && length <= longestForm;
  }

  // A cookie over https carries a name that no other site of the same domain can set.
  function cookieOf(request: FastifyRequest) {
    const secure = isOverHttps(request.raw, reach);
    return {
      name: secure ? '__Host-basking-ledger' : 'basking-ledger',
      options: { path: '/', httpOnly: true, sameSite: 'lax', secure } as const,
    };
  }

  function find(request: FastifyRequest): SignIn | null {
    const id = request.cookies[cookieOf(request).name];
    if (id === undefined) return null;
    const found = file.findSignIn(hashOf(id));
    if (found === null) return null;
    const at = now().getTime();
    if (at - found.lastSeenAt > IDLE_DAYS * DAY || at - found.startedAt > LONGEST_DAYS * DAY) return null;
    if (at - found.lastSeenAt > SEEN_EVERY) {
      try {
        file.touchSignIn(found.idHash, at);
      } catch (problem) {
        // On a full disk the ledger can still be read.
        request.log.warn({ err: problem }, 'when a sign-in was used could not be written down');
      }
    }
    return found;
  }

  async function countTry(request: FastifyRequest): Promise<number | null> {
    // One address that tries too often does not use up the tries of the others.
    for (const limit of [tries.fromOneAddress, tries.inAll]) {
      const counted = await limit(request);
      if (!counted.isAllowed && counted.isExceeded) return Math.max(1, counted.ttlInSeconds);
    }
    return null;
  }

  return {
    isAsked,
    isPrivateWay: (request) => isPrivateWay(request.raw, reach),
    signIn: async (request, reply, typed) => {
      const told = { address: request.ip };
      const seconds = await countTry(request);
      if (seconds !== null) {
        request.log.warn(told, 'too many tries at the password');
        return { status: 'too-many', seconds };
      }
      const kept = file.passwordHash();
      const outcome = await tryPassword(typed, kept);
      if (outcome === 'busy') return { status: 'busy' };
      const { name, options } = cookieOf(request);
      const at = now().getTime();
      const id = randomBytes(32).toString('base64url');
      const signIn = {
        idHash: hashOf(id),
        startedAt: at,
        lastSeenAt: at,
        address: request.ip,
        device: deviceOf(request),
      };
      // The password may have been changed while this one was tried.
      if (kept === null || outcome === 'wrong' || !file.addSignIn(signIn, kept)) {
        request.log.warn(told, 'a wrong password was typed');
        return { status: 'wrong' };
      }
      if (request.signIn !== null) file.endSignIn(request.signIn.idHash);
      file.endOldSignIns(at - LONGEST_DAYS * DAY, at - IDLE_DAYS * DAY);
      reply.setCookie(name, id, { ...options, maxAge: (LONGEST_DAYS * DAY) / 1000 });
      // No fault, and written down with what is: who came in matters when something is amiss.
      request.log.warn(told, 'somebody signed in');
      return { status: 'signed-in' };
    },
    signOut: (request, reply) => {
      const { name, options } = cookieOf(request);
      if (request.signIn !== null) {
        file.endSignIn(request.signIn.idHash);
        request.log.warn({ address: request.ip }, 'somebody signed out');
      }
      reply.clearCookie(name, options);
    },
    list: () => {
      const at = now().getTime();
      file.endOldSignIns(at - LONGEST_DAYS * DAY, at - IDLE_DAYS * DAY);
      return file.listSignIns();
    },
    endOthers: (request) => (request.signIn === null ? 0 : file.endOtherSignIns(request.signIn.idHash)),
  };
}

/** The page of this ledger that a text leads to, or the first page: never another site, whatever the text says. */
export function samePlace(text: string): string {
  const here = 'http://ledger.invalid';
  if (!/^\/(?![/\\])[\x21-\x7e]{0,2000}$/.test(text) || !URL.canParse(text, here)) return paths.home;
  const { origin, pathname, search } = new URL(text, here);
  const isElsewhere = origin !== here || pathname.startsWith('//') || pathname.startsWith(paths.access.signIn);
  return isElsewhere ? paths.home : pathname + search;
}

function hashOf(id: string): string {
  return createHash('sha256').update(id).digest('hex');
}

function deviceOf({ headers }: FastifyRequest): Device {
  return /mobi|android|iphone|ipad/i.test(headers['user-agent'] ?? '') ? 'phone' : 'computer';
}
