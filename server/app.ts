// The whole web application as one function: the gate every request passes, the pages, and what a person sees when something fails.

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
import type { CareLibrary } from '../src/species.ts';
import { openAsking } from './asking.ts';
import { readAssets, serveAssets } from './assets.ts';
import { openCare } from './care.ts';
import { readLedger } from './db/ledger.ts';
import type { Db } from './db/open.ts';
import type { Deps, Page } from './page.ts';
import { aboutPages } from './pages/about.ts';
import { animalPages } from './pages/animals.ts';
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
import { ledBefore } from './pages/sent-twice.ts';
import { settingsPages } from './pages/settings.ts';
import { shoppingPages } from './pages/shopping.ts';
import { signPages } from './pages/signs.ts';
import { spacePages } from './pages/space.ts';
import { spaceRulePages } from './pages/space-rules.ts';
import { speciesPages } from './pages/species.ts';
import { speciesCardPages } from './pages/species-card.ts';
import { speciesComparePages } from './pages/species-compare.ts';
import { thisMonthPages } from './pages/this-month.ts';
import { upgradePages } from './pages/upgrades.ts';
import { valueChoicePages } from './pages/value-choices.ts';
import { vetSheetPages } from './pages/vet-sheet.ts';
import { warmthPages } from './pages/warmth.ts';
import { weekendPages } from './pages/weekend.ts';
import { openPlanning } from './planning.ts';
import { loadViews, renderer, type Views } from './render.ts';
import { asOfDay, errorPages, formSentences } from './words.ts';

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
  /** The host names it answers to beside those of this computer itself; lower case, without a port. */
  hosts?: readonly string[];
  /** Where warnings and faults are written as JSON lines; nowhere when not given. */
  log?: { write: (line: string) => void };
  /** Pages beside the program's own, for tests of failures that the real pages do not have. */
  morePages?: readonly Page[];
  /** Templates that were read before; the program's own are read when not given. */
  views?: Views;
};

const ownPages: readonly Page[] = [
  homePages,
  roadmapPages,
  enclosurePages,
  fittingPages,
  lightPages,
  placingPages,
  breakdownPages,
  readingPages,
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
  aboutPages,
];

const LARGEST_FORM_BYTES = 64 * 1024;

const loopbackHosts = ['127.0.0.1', 'localhost', '[::1]'];

const statusOf: Readonly<Record<AppErrorCode, number>> = {
  not_found: 404,
  conflict: 409,
  forbidden: 403,
  invalid: 422,
};

/** Builds the application, ready to be listened on or injected into. Throws when a template is broken. */
export async function buildApp({
  db,
  now,
  library: shipped = readCareLibrary(),
  parts = readCatalogue(),
  hosts = [],
  log,
  morePages = [],
  views,
  planningMilliseconds,
}: AppParts): Promise<FastifyInstance> {
  const assets = readAssets();
  const render = renderer(views ?? loadViews(assets), () => dayForPrint(db, now()));
  const app = Fastify({
    logger:
      log === undefined
        ? false
        : { level: 'warn', stream: log, redact: ['req.headers.cookie', 'req.headers.authorization'] },
    logController: new LogController({ disableRequestLogging: true }),
    bodyLimit: LARGEST_FORM_BYTES,
    requestTimeout: 30_000,
    connectionTimeout: 120_000,
    keepAliveTimeout: 5_000,
    // A browser keeps connections open; without this a stop would wait for each of them.
    forceCloseConnections: true,
    trustProxy: false,
    requestIdHeader: false,
    genReqId: () => crypto.randomUUID().slice(0, 8),
    frameworkErrors: (error, request, reply) => answerFailure(error, request, reply as FastifyReply),
  });
  const answerFailure = (error: unknown, request: FastifyRequest, reply: FastifyReply): FastifyReply => {
    const { status, message } = failureOf(error);
    if (status === 500) request.log.error({ err: error, reqId: request.id }, 'a request failed');
    const words = errorPages[status] ?? errorPages[400]!;
    const model = {
      heading: words.title,
      sentence: message ?? words.sentence,
      requestId: status === 500 ? request.id : null,
    };
    return render(reply, 'error', model, { title: words.title, current: null, status });
  };

  await app.register(helmet, {
    contentSecurityPolicy: {
      useDefaults: false,
      directives: {
        defaultSrc: ["'none'"],
        styleSrc: ["'self'"],
        imgSrc: ["'self'"],
        scriptSrc: ["'self'"],
        connectSrc: ["'self'"],
        formAction: ["'self'"],
        baseUri: ["'none'"],
        frameAncestors: ["'none'"],
        objectSrc: ["'none'"],
      },
    },
    // The ledger is served over plain http on this computer.
    strictTransportSecurity: false,
    // With no-referrer, browsers send 'Origin: null' with our own forms and the gate below would refuse them.
    referrerPolicy: { policy: 'same-origin' },
  });
  app.addHook('onRequest', async (request) => {
    refuseForeignHost(request, [...loopbackHosts, ...hosts]);
    refuseForeignWrite(request);
  });
  app.addHook('onSend', async (_request, reply) => {
    if (!reply.hasHeader('cache-control')) reply.header('cache-control', 'private, no-cache');
  });
  // Only forms are taken: no JSON, no plain text, no files.
  app.removeAllContentTypeParsers();
  await app.register(formbody, { bodyLimit: LARGEST_FORM_BYTES });
  app.addHook('preValidation', async (request) => refuseRepeatedFields(request.body));
  // Here once for all forms; each remembers itself in the transaction of its effect.
  app.addHook('preHandler', async (request, reply) => {
    const led = request.method === 'POST' ? ledBefore(db, request) : null;
    if (led !== null) return reply.redirect(led, 303);
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
  app.addHook('onClose', async () => {
    await Promise.all([planning.close(), asking.close()]);
  });
  // Studies that a stop of the program cut off go on, and a plan made without them gets them.
  app.addHook('onListen', async () => {
    planning.study({ moreTime: false });
  });

  serveAssets(app, assets);
  const deps: Deps = { db, now, library, care, parts, planning, asking, render };
  for (const page of [...ownPages, ...morePages]) page(app, deps);
  return app;
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

class Misdirected extends Error {
  readonly statusCode = 421;
}

// Without this, a web site could point its own name at this computer and read the ledger through the visitor's browser.
function refuseForeignHost(request: FastifyRequest, allowed: readonly string[]): void {
  const host = (request.headers.host ?? '').toLowerCase().replace(/:\d{1,5}$/, '');
  if (!allowed.includes(host)) throw new Misdirected();
}

function refuseForeignWrite(request: FastifyRequest): void {
  if (['GET', 'HEAD', 'OPTIONS'].includes(request.method)) return;
  const site = request.headers['sec-fetch-site'];
  // The host was found on the allow-list before, so an origin equal to it is this ledger.
  const ours =
    site === undefined ? request.headers.origin === `http://${request.headers.host}` : site === 'same-origin';
  if (!ours) throw new AppError('forbidden', errorPages[403]!.sentence);
}

function refuseRepeatedFields(body: unknown): void {
  if (typeof body !== 'object' || body === null) return;
  for (const [name, value] of Object.entries(body)) {
    if (Array.isArray(value)) throw new AppError('invalid', formSentences.repeatedField(name));
  }
}

/** The status of a failure, and the sentence to show when the failure has one of its own. */
function failureOf(error: unknown): { status: number; message: string | null } {
  if (error instanceof AppError) return { status: statusOf[error.code], message: error.message };
  const status = (error as Partial<FastifyError>).statusCode ?? 500;
  return { status: status >= 400 && status < 500 ? status : 500, message: null };
}
