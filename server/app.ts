// The whole web application as one function: the gate every request passes, the pages, and what a person sees when something fails.

import { parse } from 'node:querystring';
import formbody from '@fastify/formbody';
import helmet from '@fastify/helmet';
import Fastify, {
  type FastifyError,
  type FastifyInstance,
  type FastifyReply,
  type FastifyRequest,
  LogController,
} from 'fastify';
import { readCatalogue } from '../seed/catalogue.ts';
import { readCareLibrary } from '../seed/library.ts';
import { dateOfInstant, formatDate } from '../src/calendar.ts';
import { AppError, type AppErrorCode } from '../src/errors.ts';
import type { PartsList } from '../src/parts.ts';
import { type CareLibrary, UnknownSpecies } from '../src/species.ts';
import { closePages, NoPasswordSet, NotSignedIn } from './access.ts';
import { openAsking } from './asking.ts';
import { readAssets, serveAssets } from './assets.ts';
import { openBackups } from './backups.ts';
import { openCare } from './care.ts';
import { type AccessFile, openAccessFile } from './db/access.ts';
import { listAnimals, listEnclosures } from './db/collection.ts';
import { readLedger } from './db/ledger.ts';
import { type Db, storageFaultOf } from './db/open.ts';
import { type ShownLedger, showBeside } from './demonstration.ts';
import { errorPages, shutPages, storagePages, unknownSpecies } from './fault-words.ts';
import { formSentences } from './form-words.ts';
import { isOverHttps, isPrivateWay, ownComputerOnly, type Reach, refusalOf } from './gate.ts';
import { loggedFault } from './log.ts';
import { packPages } from './packing.ts';
import type { Deps, Page } from './page.ts';
import { aboutPages } from './pages/about.ts';
import { accessPages, keepForm } from './pages/access.ts';
import { allReadingsPages } from './pages/all-readings.ts';
import { animalPages } from './pages/animals.ts';
import { backupPages } from './pages/backups.ts';
import { breakdownPages } from './pages/breakdowns.ts';
import { buildPages } from './pages/build.ts';
import { capPages } from './pages/cap.ts';
import { capQuestionPages } from './pages/cap-questions.ts';
import { careValuePages } from './pages/care-values.ts';
import { casePages } from './pages/case.ts';
import { checkPages } from './pages/checks.ts';
import { enclosurePages } from './pages/enclosures.ts';
import { exportPages } from './pages/export.ts';
import { fittingSheetPages } from './pages/fitting-sheet.ts';
import { fittingPages } from './pages/fittings.ts';
import { glossaryPages } from './pages/glossary.ts';
import { guidePages } from './pages/guide.ts';
import { healthPages } from './pages/health.ts';
import { homePages } from './pages/home.ts';
import { instrumentPages } from './pages/instruments.ts';
import { ledgerImportPages } from './pages/ledger-import.ts';
import { lightPages } from './pages/light.ts';
import { loggerPages } from './pages/logger.ts';
import { measuringPages } from './pages/measuring.ts';
import { moneyPages } from './pages/money.ts';
import { monthPages } from './pages/months.ts';
import { oldThingPages } from './pages/old-things.ts';
import { ownSpeciesPages } from './pages/own-species.ts';
import { placingPages } from './pages/placing.ts';
import { progressPages } from './pages/progress.ts';
import { readingImportPages } from './pages/reading-import.ts';
import { readingPages } from './pages/readings.ts';
import { renewalPages } from './pages/renewals.ts';
import { roadmapPages } from './pages/roadmap.ts';
import { roomPages } from './pages/rooms.ts';
import { roundPages } from './pages/round.ts';
import { runChartPages } from './pages/run-chart.ts';
import { formOrigin, isOfAnotherLedger, ledBefore, takeOrigin } from './pages/sent-twice.ts';
import { settingsPages } from './pages/settings.ts';
import { shoppingPages } from './pages/shopping.ts';
import { signPages } from './pages/signs.ts';
import { spacePages } from './pages/space.ts';
import { spaceRulePages } from './pages/space-rules.ts';
import { speciesPages } from './pages/species.ts';
import { speciesCardPages } from './pages/species-card.ts';
import { speciesComparePages } from './pages/species-compare.ts';
import { startPages } from './pages/start.ts';
import { thisMonthPages } from './pages/this-month.ts';
import { upgradePages } from './pages/upgrades.ts';
import { valueChoicePages } from './pages/value-choices.ts';
import { vetSheetPages } from './pages/vet-sheet.ts';
import { warmthPages } from './pages/warmth.ts';
import { weekendPages } from './pages/weekend.ts';
import { openPlanning } from './planning.ts';
import { type Demonstration, loadViews, type Reader, renderer, type Views } from './render.ts';
import { asOfDay } from './words.ts';

/** What the application is built from. */
export type AppParts = {
  db: Db;
  now: () => Date;
  /** What species need; the library that ships with the ledger when not given. */
  library?: CareLibrary;
  /** Generic parts that upgrades are proposed from; the catalogue that ships with the ledger when not given. */
  parts?: PartsList;
  /** How long a better plan is looked for, in milliseconds; the usual time when not given. */
  planningMilliseconds?: number;
  /** Under which names it is opened; those of this computer itself when not given. */
  reach?: Reach;
  /** What is kept of the password and of who is signed in; no password and nothing kept when not given. */
  accessFile?: AccessFile;
  /** Whether it is shut while no password is set; not when not given. */
  isPasswordRequired?: boolean;
  /** The addresses of proxies that are believed when they say who asks; none when not given. */
  proxies?: readonly string[];
  /** How long a slow browser is waited for; the usual times when not given. */
  patience?: Patience;
  /** Whether a backup is made on each day; not when not given. */
  dailyBackups?: boolean;
  /** Where warnings and faults are written as JSON lines; nowhere when not given. */
  log?: { write: (line: string) => void };
  /** Pages beside the program's own, for tests of failures that the real pages do not have. */
  morePages?: readonly Page[];
  /** Set for the ledger of the demonstration: its pages say so, and its addresses begin with the prefix. */
  demonstration?: Demonstration;
  /** The demonstration that is shown beside this ledger; none when not given. */
  shows?: ShownLedger;
  /** Templates that were read before; the program's own are read when not given. */
  views?: Views;
};

/** In milliseconds: until the head of a request is there, until all of it is, and how often that is looked at. */
type Patience = { head: number; whole: number; lookedAtEvery: number };

const usualPatience: Patience = { head: 10_000, whole: 30_000, lookedAtEvery: 5_000 };

const ownPages: readonly Page[] = [
  homePages,
  startPages,
  roadmapPages,
  enclosurePages,
  fittingPages,
  lightPages,
  placingPages,
  breakdownPages,
  readingPages,
  allReadingsPages,
  roundPages,
  runChartPages,
  readingImportPages,
  loggerPages,
  instrumentPages,
  checkPages,
  roomPages,
  buildPages,
  warmthPages,
  animalPages,
  signPages,
  spacePages,
  upgradePages,
  oldThingPages,
  fittingSheetPages,
  shoppingPages,
  thisMonthPages,
  casePages,
  vetSheetPages,
  speciesCardPages,
  measuringPages,
  weekendPages,
  moneyPages,
  capPages,
  capQuestionPages,
  monthPages,
  progressPages,
  renewalPages,
  settingsPages,
  spaceRulePages,
  valueChoicePages,
  speciesPages,
  careValuePages,
  ownSpeciesPages,
  speciesComparePages,
  exportPages,
  ledgerImportPages,
  backupPages,
  aboutPages,
  glossaryPages,
  guidePages,
  accessPages,
  healthPages,
];

const LARGEST_FORM_BYTES = 64 * 1024;

/** What a page may load and send: our own files and forms, and nothing else. */
const CONTENT_POLICY: Record<string, string[]> = {
  defaultSrc: ["'none'"],
  styleSrc: ["'self'"],
  imgSrc: ["'self'"],
  scriptSrc: ["'self'"],
  connectSrc: ["'self'"],
  formAction: ["'self'"],
  baseUri: ["'none'"],
  frameAncestors: ["'none'"],
  objectSrc: ["'none'"],
};

/** The headers that every other answer gets from helmet and the hooks below. */
const headersOfAFailure: Readonly<Record<string, string>> = {
  'content-security-policy': Object.entries(CONTENT_POLICY)
    .map(([name, sources]) => `${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)} ${sources.join(' ')}`)
    .join(';'),
  'referrer-policy': 'same-origin',
  'x-content-type-options': 'nosniff',
  'x-frame-options': 'DENY',
  'cache-control': 'private, no-cache',
};

const statusOf: Readonly<Record<AppErrorCode, number>> = {
  not_found: 404,
  conflict: 409,
  forbidden: 403,
  invalid: 422,
};

/** Builds the application, ready to be listened on or injected into. */
export async function buildApp({
  db,
  now,
  library: shipped = readCareLibrary(),
  parts = readCatalogue(),
  reach = ownComputerOnly,
  accessFile = openAccessFile(':memory:'),
  isPasswordRequired = false,
  proxies = [],
  patience = usualPatience,
  dailyBackups = false,
  log,
  morePages = [],
  views,
  planningMilliseconds,
  demonstration,
  shows,
}: AppParts): Promise<FastifyInstance> {
  const assets = readAssets();
  const render = renderer(views ?? loadViews(assets), {
    asOf: () => dayForPrint(db, now()),
    readerOf,
    isEmpty: () => isEmpty(db),
    originOfForms: () => originOfForms(db),
    demonstration: demonstration ?? null,
  });
  const app = Fastify({
    logger:
      log === undefined
        ? false
        : { level: 'warn', stream: log, serializers: { req: plainRequest, err: loggedFault }, redact: secretFields },
    logController: new LogController({ disableRequestLogging: true }),
    bodyLimit: LARGEST_FORM_BYTES,
    requestTimeout: patience.whole,
    http: {
      headersTimeout: patience.head,
      connectionsCheckingInterval: patience.lookedAtEvery,
      // A request without a Host is answered by the gate, with a page.
      requireHostHeader: false,
    },
    connectionTimeout: 120_000,
    // Longer than a browser or a proxy keeps an unused connection, so that it is they who close it and no request meets a closed one.
    keepAliveTimeout: 75_000,
    // A browser keeps connections open; without this a stop would wait for each of them.
    forceCloseConnections: true,
    trustProxy: proxies.length === 0 ? false : [...proxies],
    requestIdHeader: false,
    genReqId: () => crypto.randomUUID().slice(0, 8),
    // Forms are checked by schemas of our own; the compilers of JSON schemas, which take a while to load, are never asked for.
    schemaController: { compilersFactory: { buildValidator: noJsonSchemas, buildSerializer: noJsonSchemas } },
    // An address that cannot be decoded reaches no hook, and is answered under the same rules all the same.
    frameworkErrors: (error, request, reply) => {
      for (const [name, value] of Object.entries(headersOfAFailure)) reply.header(name, value);
      const told = refusalOf(request.raw, reach) === 'foreign-host' ? new Misdirected() : error;
      answerFailure(told, request, reply as FastifyReply);
    },
  });
  const answerFailure = (error: unknown, request: FastifyRequest, reply: FastifyReply): FastifyReply => {
    const fault = storageFaultOf(error);
    if (fault !== null) {
      request.log.error({ err: error, req: request }, 'the ledger could not be written or read');
      const { title, sentence } = storagePages[fault];
      const model = { heading: title, sentence, again: sentAgain(request), requestId: request.id };
      return render(reply, 'not-saved', model, { title, current: null, status: fault === 'full' ? 507 : 503 });
    }
    const { status, title, sentence } = failureOf(error);
    if (status === 500) request.log.error({ err: error, req: request }, 'a request failed');
    // What was typed into a form that cannot be taken is shown to be read and copied, since its own page is not.
    const typed = error instanceof AppError || status === 500 ? (sentAgain(request, LONGEST_TO_COPY)?.typed ?? []) : [];
    const model = { heading: title, sentence, typed, requestId: status === 500 ? request.id : null };
    try {
      return render(reply, 'error', model, { title, current: null, status });
    } catch (problem) {
      request.log.error({ err: problem, req: request }, 'the page of a failure failed too');
      const { title: head, sentence: rest } = errorPages[500]!;
      return reply.code(500).type('text/plain; charset=utf-8').send(`${head}. ${rest}`);
    }
  };
  function readerOf(request: FastifyRequest): Reader {
    if (request.signIn !== null && request.signIn !== undefined) return 'signed-in';
    try {
      return accessFile.passwordHash() === null ? 'anyone' : 'signed-out';
    } catch {
      // The page that says what failed is shown all the same.
      return 'signed-out';
    }
  }

  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: CONTENT_POLICY,
    },
    // These mean something over https, or on this computer, alone, and browsers complain of them elsewhere; see below.
    strictTransportSecurity: false,
    frameguard: { action: 'deny' },
    crossOriginOpenerPolicy: false,
    originAgentCluster: false,
    // With no-referrer, browsers send 'Origin: null' with our own forms and the gate below would refuse them.
    referrerPolicy: { policy: 'same-origin' },
  });
  app.addHook('onRequest', async (request, reply) => {
    reply.header('vary', 'Sec-Fetch-Site, Origin, Cookie');
    if (isPrivateWay(request.raw, reach)) {
      reply.header('cross-origin-opener-policy', 'same-origin');
      reply.header('origin-agent-cluster', '?1');
    }
    const refusal = refusalOf(request.raw, reach);
    if (refusal !== null) request.log.warn({ address: request.ip, refusal, req: request }, 'refused at the gate');
    if (refusal === 'foreign-host') throw new Misdirected();
    if (refusal === 'foreign-site') throw new AppError('forbidden', errorPages[403]!.sentence);
    if (reach.origin !== null && isOverHttps(request.raw, reach))
      reply.header('strict-transport-security', 'max-age=31536000');
  });
  app.addHook('onSend', async (_request, reply) => {
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'private, no-cache');
  });
  packPages(app);
  const access = await closePages(app, {
    file: accessFile,
    now,
    isRequired: isPasswordRequired,
    reach,
    keepForm: (request, reply) => keepForm(render, request, reply),
    longestForm: LARGEST_FORM_BYTES,
  });
  // Only forms are taken: no JSON, no plain text, no files.
  app.removeAllContentTypeParsers();
  await app.register(formbody, { bodyLimit: LARGEST_FORM_BYTES, parser: readForm });
  app.addHook('preValidation', async (request) => {
    if (request.body === UNREADABLE) throw new AppError('invalid', formSentences.unreadable);
    refuseRepeatedFields(request.body);
  });
  // Here once for all forms; each remembers itself in the transaction of its effect.
  app.addHook('preHandler', async (request, reply) => {
    if (request.method !== 'POST') return;
    const origin = takeOrigin(request);
    const led = ledBefore(db, request);
    if (led !== null) return reply.redirect(led, 303);
    if (isOfAnotherLedger(db, request, origin)) throw new AppError('conflict', formSentences.otherLedger);
  });
  app.setErrorHandler((error, request, reply) => answerFailure(error, request, reply));
  app.setNotFoundHandler((request, reply) =>
    answerFailure(new AppError('not_found', errorPages[404]!.sentence), request, reply),
  );

  const care = openCare(db, shipped);
  care.noticeUpdate(now());
  const { library } = care;
  const logFault = (fault: unknown) => app.log.error({ err: fault }, 'planning failed');
  const planning = openPlanning({ db, library, now, catalogue: parts, milliseconds: planningMilliseconds, logFault });
  const asking = openAsking({ db, library, now, milliseconds: planningMilliseconds, logFault });
  const backups = openBackups({
    db,
    now,
    isDaily: dailyBackups,
    logFault: (fault) => app.log.error({ err: fault }, 'a backup failed'),
  });
  app.addHook('onClose', async () => {
    await Promise.all([backups.close(), planning.close(), asking.close()]);
  });
  // Studies that a stop of the program cut off go on, and a plan made without them gets them.
  app.addHook('onListen', async () => {
    planning.study({ moreTime: false });
    backups.begin();
  });

  if (demonstration !== undefined) {
    app.addHook('onSend', async (_request, reply) => {
      const to = reply.getHeader('location');
      if (typeof to === 'string' && to.startsWith('/')) reply.header('location', `${demonstration.prefix}${to}`);
    });
  }
  if (shows !== undefined) showBeside(app, shows, render, readForm);

  serveAssets(app, assets);
  const deps: Deps = {
    db,
    now,
    library,
    care,
    parts,
    planning,
    asking,
    backups,
    access,
    render,
    hasDemonstration: shows !== undefined,
  };
  for (const page of [...ownPages, ...morePages]) page(app, deps);
  return app;
}

function noJsonSchemas(): never {
  throw new Error('no route is described by a JSON schema');
}

// A page that tells of a database that cannot be read must still be written, without its day.
function dayForPrint(db: Db, moment: Date): string | null {
  try {
    const { timeZone, locale } = readLedger(db);
    return asOfDay(formatDate(dateOfInstant(moment, timeZone), locale));
  } catch {
    return null;
  }
}

// As above: a page that tells of a fault has no form that this would matter to.
function originOfForms(db: Db): ReturnType<typeof formOrigin> {
  try {
    return formOrigin(db);
  } catch {
    return null;
  }
}

function isEmpty(db: Db): boolean {
  return listAnimals(db).length === 0 && listEnclosures(db).length === 0;
}

class Misdirected extends Error {
  readonly statusCode = 421;
}

// A form whose text is no UTF-8 would otherwise be kept as its percent signs. What reads a form must not throw where Fastify calls it.
const UNREADABLE: Readonly<Record<string, never>> = Object.freeze({});

function readForm(text: string): Record<string, unknown> {
  try {
    decodeURIComponent(text.replaceAll('+', ' '));
  } catch {
    return UNREADABLE;
  }
  // A browser sends no character beyond ASCII as it is; this one stands for bytes that mean nothing.
  return text.includes('\uFFFD') ? UNREADABLE : parse(text, '&', '=', { maxKeys: 0 });
}

function refuseRepeatedFields(body: unknown): void {
  if (typeof body !== 'object' || body === null) return;
  for (const [name, value] of Object.entries(body)) {
    if (Array.isArray(value)) throw new AppError('invalid', formSentences.repeatedField(name));
  }
}

// Fields that say nothing to a person; they go along all the same.
const UNSHOWN = ['once', 'version', 'step', 'seen'];
const LONGEST_SHOWN = 400;
// Above what any field takes.
const LONGEST_TO_COPY = 10_000;

/** A form whose effect failed, to be read and to be sent again as it was; null for a page, and for a form with a secret in it. */
function sentAgain({ method, url, body }: FastifyRequest, longest = LONGEST_SHOWN) {
  const fields = Object.entries((body ?? {}) as Record<string, unknown>).filter(
    (one): one is [string, string] => typeof one[1] === 'string',
  );
  if (method !== 'POST' || fields.some(([name]) => /password/i.test(name))) return null;
  const words = (name: string) => name.replace(/([a-z])([A-Z])|-/g, '$1 $2').toLowerCase();
  return {
    action: url,
    carried: fields.map(([name, value]) => ({ name, value })),
    typed: fields
      .filter(([name, value]) => value !== '' && !UNSHOWN.includes(name))
      .map(([name, value]) => ({
        name: words(name),
        value: value.length > longest ? `${value.slice(0, longest)}…` : value,
      })),
  };
}

/** The status of a failure, and what is said of it. */
function failureOf(error: unknown): { status: number; title: string; sentence: string } {
  if (error instanceof NoPasswordSet) return { status: error.statusCode, ...shutPages.noPassword };
  if (error instanceof UnknownSpecies) return { status: 409, ...unknownSpecies };
  if (error instanceof NotSignedIn) return { status: error.statusCode, ...shutPages.notSignedIn };
  const known = error instanceof AppError ? statusOf[error.code] : ((error as Partial<FastifyError>).statusCode ?? 500);
  const status = (known >= 400 && known < 500) || known === 503 ? known : 500;
  const { title, sentence } = errorPages[status] ?? errorPages[400]!;
  return { status, title, sentence: error instanceof AppError ? error.message : sentence };
}

// What must never reach a log, wherever it turns up.
const secrets = ['headers', 'cookie', 'authorization', 'set-cookie', 'password', 'body', 'query'];
const secretFields = secrets.flatMap((name) => [`["${name}"]`, `*["${name}"]`, `*.*["${name}"]`]);

// Of a request only what tells which page it was for: neither its query nor its headers.
function plainRequest({ method, url }: { method: string; url: string }) {
  return { method, path: url.replace(/[?#].*$/s, '').slice(0, 200) };
}
