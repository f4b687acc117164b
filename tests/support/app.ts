// The real application on a ledger in memory, at a fixed moment, and the few verbs a page test needs: get a page, send a form as a
// browser would, read the answer as a document.

import type { FastifyInstance } from 'fastify';
import { parseHTML } from 'linkedom';
import { onTestFinished } from 'vitest';
import { readCatalogue } from '../../seed/catalogue.ts';
import { readCareLibrary } from '../../seed/library.ts';
import { type AppParts, buildApp } from '../../server/app.ts';
import { readAssets } from '../../server/assets.ts';
import { type Db, openMemory } from '../../server/db/open.ts';
import { loadViews } from '../../server/render.ts';

/** The moment at which tests run unless they say otherwise: 15 January 2026, noon UTC. */
export const testMoment = new Date('2026-01-15T12:00:00Z');

/** As much of an HTML element as tests read. */
export type Element = {
  id: string;
  localName: string;
  textContent: string | null;
  getAttribute: (name: string) => string | null;
  hasAttribute: (name: string) => boolean;
  querySelector: (selector: string) => Element | null;
  querySelectorAll: (selector: string) => Iterable<Element>;
};

/** As much of an HTML document as tests read. */
export type Document = {
  title: string;
  documentElement: Element;
  getElementById: (id: string) => Element | null;
  querySelector: (selector: string) => Element | null;
  querySelectorAll: (selector: string) => Iterable<Element>;
};

/** An answer of the application. */
export type Answer = {
  status: number;
  headers: Record<string, string | string[] | number | undefined>;
  /** The body as sent. */
  body: string;
  /** The body as a document; for redirects an empty one. */
  document: Document;
  /** The URL that a redirect leads to, or null. */
  location: string | null;
};

/** A running application and its ledger. */
export type TestApp = {
  app: FastifyInstance;
  db: Db;
  get: (path: string, headers?: Record<string, string>) => Promise<Answer>;
  /** Sends fields as a form of our own pages; headers may be replaced. */
  post: (path: string, fields?: Record<string, string>, headers?: Record<string, string>) => Promise<Answer>;
  /**
   * Fills in a form of a page and sends it, with every hidden and prefilled field, as a browser would. `name` picks the form by its
   * action; the only form of <main> when not given. A change of null leaves a field out (unticks a box).
   */
  submit: (page: Answer, changes?: Record<string, string | null>, action?: string) => Promise<Answer>;
};

/** Starts the application on an empty ledger in memory with every migration applied; it ends with the test. */
export async function startApp(parts: Partial<AppParts> = {}): Promise<TestApp> {
  const started = await openApp(parts);
  onTestFinished(() => closeApp(started));
  return started;
}

/** Ends an application and closes its ledger. */
export async function closeApp({ app, db }: TestApp): Promise<void> {
  await app.close();
  if (db.$client.open) db.$client.close();
}

// What an application reads from its files is the same for all, and reading it takes longer than most tests.
let read: Required<Pick<AppParts, 'library' | 'parts' | 'views'>> | null = null;
function readOnce() {
  read ??= { library: readCareLibrary(), parts: readCatalogue(), views: loadViews(readAssets()) };
  return read;
}

/** As startApp, for an application that several tests share: whoever opens it ends it with closeApp. */
export async function openApp(parts: Partial<AppParts> = {}): Promise<TestApp> {
  const db = parts.db ?? openMemory();
  const app = await buildApp({ now: () => testMoment, ...readOnce(), ...parts, db });
  const get: TestApp['get'] = async (path, headers = {}) =>
    readAnswer(await app.inject({ method: 'GET', url: path, headers }));
  const post: TestApp['post'] = async (path, fields = {}, headers = {}) =>
    readAnswer(
      await app.inject({
        method: 'POST',
        url: path,
        payload: new URLSearchParams(fields).toString(),
        headers: { 'content-type': 'application/x-www-form-urlencoded', 'sec-fetch-site': 'same-origin', ...headers },
      }),
    );
  const submit: TestApp['submit'] = (page, changes = {}, action) => {
    const form = findForm(page, action);
    const fields = { ...formValues(form), ...changes };
    const kept = Object.entries(fields).filter((entry): entry is [string, string] => entry[1] !== null);
    return post(form.getAttribute('action') ?? '', Object.fromEntries(kept));
  };
  return { app, db, get, post, submit };
}

/** The visible words of an element or of a whole page's <main>, with runs of white space as one space. */
export function textOf(target: Answer | Element | null): string {
  const element = target !== null && 'document' in target ? target.document.querySelector('main') : target;
  return (element?.textContent ?? '').replace(/\s+/g, ' ').trim();
}

/** The words of every element that matches a selector. */
export function textsOf(answer: Answer, selector: string): string[] {
  return [...answer.document.querySelectorAll(selector)].map((element) => textOf(element));
}

/** Each cell of the rows of a table's body, by the words of its caption. Throws when there is no such table. */
export function tableRows(answer: Answer, caption: string): string[][] {
  const table = [...answer.document.querySelectorAll('table')].find(
    (one) => textOf(one.querySelector('caption')) === caption,
  );
  if (table === undefined) throw new Error(`no table is called '${caption}'`);
  return [...table.querySelectorAll('tbody tr')].map((row) =>
    [...row.querySelectorAll('th, td')].map((cell) => textOf(cell)),
  );
}

/**
 * The mistakes of a form that came back: each message of the summary with the name of the control its link leads to. Throws when a
 * link leads nowhere, or the control does not carry the same message.
 */
export function mistakesOf(answer: Answer): { field: string; message: string }[] {
  return [...answer.document.querySelectorAll('.error-summary a')].map((link) => {
    const message = textOf(link);
    const target = answer.document.getElementById((link.getAttribute('href') ?? '').slice(1));
    if (target === null) throw new Error(`the mistake '${message}' links to nothing`);
    const beside = textOf(answer.document.getElementById(`${target.id}-error`));
    if (target.id !== 'content' && beside !== message)
      throw new Error(`'${message}' is not beside its control, found '${beside}'`);
    return { field: target.getAttribute('name') ?? '', message };
  });
}

/** The values a form would send as it stands, by field name. */
export function formValues(form: Element): Record<string, string> {
  const values: Record<string, string> = {};
  for (const control of form.querySelectorAll('input, textarea, select')) {
    const name = control.getAttribute('name');
    if (name === null) continue;
    if (control.localName === 'select') {
      const options = [...control.querySelectorAll('option')];
      const chosen = options.find((option) => option.hasAttribute('selected')) ?? options[0];
      if (chosen !== undefined) values[name] = chosen.getAttribute('value') ?? '';
    } else if (control.localName === 'textarea') {
      // The HTML standard drops one line break that follows the start tag, and reads character references, which linkedom does not.
      const { document } = parseHTML(`<!doctype html><html><body><p>${control.textContent ?? ''}</p></body></html>`);
      values[name] = (document.querySelector('p')?.textContent ?? '').replace(/^\r?\n/, '');
    } else if (['radio', 'checkbox'].includes(control.getAttribute('type') ?? '')) {
      if (control.hasAttribute('checked')) values[name] = control.getAttribute('value') ?? 'on';
    } else if (control.getAttribute('type') !== 'submit') {
      values[name] = control.getAttribute('value') ?? '';
    }
  }
  return values;
}

/** The form of a page whose action is given, or the only one. Throws when there is none, or more than one without an action given. */
export function findForm(page: Answer, action?: string): Element {
  const forms = [...page.document.querySelectorAll('main form')].filter(
    (form) => action === undefined || form.getAttribute('action') === action,
  );
  if (forms.length !== 1)
    throw new Error(`expected one form${action === undefined ? '' : ` to ${action}`}, found ${forms.length}`);
  return forms[0]!;
}

type Injected = Awaited<ReturnType<FastifyInstance['inject']>>;

function readAnswer(response: Injected): Answer {
  const location = response.headers.location;
  let document: Document | null = null;
  return {
    status: response.statusCode,
    headers: response.headers,
    body: response.body,
    // Read only when a test looks into it: reading a page takes longer than answering it.
    get document() {
      const html = response.body === '' ? '<!doctype html><html><body></body></html>' : response.body;
      document ??= parseHTML(html).document as unknown as Document;
      return document;
    },
    location: typeof location === 'string' ? location : null,
  };
}
