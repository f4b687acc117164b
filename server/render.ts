// How a view model becomes HTML. A template is read through when it is first shown, since a start has no time for all of them (a test reads
// them all); one that names an unknown partial or helper, or writes text without escaping it, is never shown. A field the view model lacks
// is an error, never a blank.

import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { FastifyReply, FastifyRequest } from 'fastify';
import Handlebars from 'handlebars';
import { accessWords } from './access-words.ts';
import type { Asset } from './assets.ts';
import { glossaryWords, placeOfWord, wordsUsedIn } from './glossary-words.ts';
import { withNamedCells } from './narrow-tables.ts';
import { paths } from './paths.ts';
import { demonstrationWords, emptyPlaces, emptyWords, menuChapters, menuWords, notices, productName } from './words.ts';

/** A place in the main menu, which stands for all pages below it. */
export type MenuKey = keyof typeof menuWords;

/** What surrounds a page. */
type Frame = {
  /** The title of the document, before the product's name; the page's own h1 should begin with the same words. */
  title: string;
  /** The entry of the menu to mark, or null. */
  current: MenuKey | null;
  /** The HTTP status; 200 when not given, 422 for a form with mistakes, 409 for a conflict. */
  status?: number;
  /** The page above this one, linked before the heading. */
  back?: { href: string; label: string };
};

/** What of a page hangs on when and where it was asked for. */
type Occasion = {
  /** A sentence to show once, or null. */
  notice: string | null;
  /** The path of its address, by which its own place in the menu is known. */
  path: string;
  /** The day, as it stands at the head of a printed page, or null when it cannot be told. */
  asOf: string | null;
  reader: Reader;
  /** Whether nothing that could be shown was entered yet. */
  isEmpty?: boolean;
  /** Set where the page is one of a demonstration. */
  demonstration?: Demonstration | null;
};
/** Who reads a page: somebody who is signed in, somebody who is not, or anyone where nobody has to be. */
export type Reader = 'signed-in' | 'signed-out' | 'anyone';

/** A field of a form that nobody sees. */
type HiddenField = { name: string; value: string };

/** Answers a request with a page: the name of its template in views/pages without ending ('guide/' and its name for one of views/guide), its view model and its frame. */
export type Render = (reply: FastifyReply, page: string, model: object, frame: Frame) => FastifyReply;

/** A ledger that is only looked at and tried: every page says so, and its addresses all begin with `prefix`, '' for none. */
export type Demonstration = { prefix: string };

/** The templates, ready to write with. */
export type Views = {
  /** The names of the pages there are; chapters of the guide begin with 'guide/'. */
  pages: readonly string[];
  /** Writes a page inside the layout. */
  write: (page: string, model: object, frame: Frame, occasion: Occasion) => string;
  /** Reads every template through, as showing it does. Throws, naming the template, when one of them cannot be used. */
  readThrough: () => void;
};

const ownViews = fileURLToPath(new URL('../views', import.meta.url));

const menuLinks: Readonly<Record<MenuKey, string>> = {
  home: paths.home,
  thisMonth: paths.thisMonth,
  shopping: paths.shopping,
  measuring: paths.measuring.show,
  roadmap: paths.roadmap.show,
  upgrades: paths.upgrades.list,
  animals: paths.animals.list,
  enclosures: paths.enclosures.list,
  rooms: paths.rooms.list,
  instruments: paths.instruments.list,
  species: paths.species.list,
  money: paths.money,
  renewals: paths.renewals,
  cap: paths.cap.show,
  months: paths.months.list,
  progress: paths.progress,
  valueChoices: paths.valueChoices.show,
  settings: paths.settings,
  export: paths.export.show,
  about: paths.about,
  guide: paths.guide.show,
};

/** Takes layout, partials and pages of a folder, each to be read through when it is first used; only then one that cannot be used throws. */
export function loadViews(assets: ReadonlyMap<string, Asset>, folder: string = ownViews): Views {
  const handlebars = Handlebars.create();
  refuseMissingFields(handlebars);
  const partials = readTemplates(join(folder, 'partials'));
  const pages = new Map([
    ...readTemplates(join(folder, 'pages')),
    // Long texts lie apart from the pages that are forms and tables.
    ...[...readTemplates(join(folder, 'guide'))].map(([name, source]) => [`guide/${name}`, source] as const),
  ]);
  const layoutSource = readFileSync(join(folder, 'layout.hbs'), 'utf8');
  const ready = new Map<string, HandlebarsTemplateDelegate>();
  function templateOf(name: string, source: string): HandlebarsTemplateDelegate {
    const before = ready.get(name);
    if (before !== undefined) return before;
    const { program, used } = inspect(handlebars, name, source, partials);
    for (const one of used) usePartial(one);
    const template = compile(handlebars, program);
    ready.set(name, template);
    return template;
  }
  function usePartial(name: string): void {
    if (Object.hasOwn(handlebars.partials, name)) return;
    // Known from here on, since a partial may use itself.
    handlebars.registerPartial(name, '');
    try {
      handlebars.registerPartial(name, templateOf(`partials/${name}`, partials.get(name)!));
    } catch (problem) {
      handlebars.unregisterPartial(name);
      throw problem;
    }
  }
  const links = {
    style: hrefOf(assets, 'style.css'),
    script: hrefOf(assets, 'app.js'),
    icon: hrefOf(assets, 'icon.svg'),
  };
  return {
    pages: [...pages.keys()],
    write: (page, model, frame, { notice, path, asOf, reader, isEmpty = false, demonstration = null }) => {
      const source = pages.get(page);
      if (source === undefined) throw new Error(`there is no template views/pages/${page}.hbs`);
      const body = templateOf(`pages/${page}`, source)(model);
      const layout = templateOf('layout', layoutSource);
      const html = layout({
        ...links,
        productName,
        words: { href: paths.glossary, label: glossaryWords.link },
        explained: path === paths.glossary ? null : explainedIn(body),
        title: titleOf(frame),
        back: frame.back ?? null,
        // Every place would lead somebody who is not signed in back to the same page.
        menu: reader === 'signed-out' ? null : menuOf(frame.current, path),
        signOut: reader === 'signed-in' ? { action: paths.access.signOut, label: accessWords.signOut } : null,
        notice,
        asOf,
        // Whoever is not signed in is not told whether the ledger holds anything.
        empty: isEmpty && reader !== 'signed-out' ? emptyState(emptyPlaces[path] ?? '') : null,
        demonstration:
          demonstration === null
            ? null
            : { ...demonstrationWords, wayBack: demonstration.prefix === '' ? null : paths.home },
        body: new Handlebars.SafeString(withNamedCells(body)),
      });
      return within(html, demonstration?.prefix ?? '');
    },
    readThrough: () => {
      templateOf('layout', layoutSource);
      for (const name of partials.keys()) usePartial(name);
      for (const [name, source] of pages) templateOf(`pages/${name}`, source);
    },
  };
}

/**
 * Makes the function that answers requests from compiled templates; the notice comes from the address (see withNotice in paths.ts), the
 * day for print from `asOf`, who reads it from `readerOf`, what belongs on a page from `isEmpty`, asked only where the page has such a word,
 * and what every form carries unseen from `originOfForms`.
 */
export function renderer(
  views: Views,
  {
    asOf,
    readerOf,
    isEmpty = () => false,
    originOfForms = () => null,
    demonstration = null,
  }: {
    asOf: () => string | null;
    readerOf: (request: FastifyRequest) => Reader;
    isEmpty?: () => boolean;
    originOfForms?: () => HiddenField | null;
    demonstration?: Demonstration | null;
  },
): Render {
  return (reply, page, model, frame) => {
    // An address that cannot be decoded has no query at all.
    const done = (reply.request.query as Record<string, unknown> | null)?.done;
    const notice = typeof done === 'string' && Object.hasOwn(notices, done) ? notices[done]! : null;
    const path = reply.request.url.split('?', 1)[0]!;
    const html = views.write(page, model, frame, {
      notice,
      path,
      asOf: asOf(),
      reader: readerOf(reply.request),
      isEmpty: Object.hasOwn(emptyPlaces, path) && isEmpty(),
      demonstration,
    });
    return reply
      .code(frame.status ?? 200)
      .type('text/html; charset=utf-8')
      .send(withHidden(withoutControls(html), originOfForms()));
  };
}

// Every address of our own stands in an attribute of a template, quoted by ", which what a keeper typed is never written with. The way back
// out of a demonstration is marked, and stays as it is.
function within(html: string, prefix: string): string {
  return prefix === '' ? html : html.replace(/(?<!data-outside )\b(href|action|src)="\/(?!\/)/g, `$1="${prefix}/`);
}

// The words of a page that may need a sentence, or null where there is none.
function explainedIn(body: string) {
  const terms = wordsUsedIn(body.replace(/<[^>]*>/g, ' '));
  if (terms.length === 0) return null;
  return {
    label: glossaryWords.onThisPage,
    terms: terms.map(({ key, term, meaning }) => ({ term, meaning, href: `${paths.glossary}#${placeOfWord(key)}` })),
  };
}

// No form takes them, but a database made elsewhere may hold them: they mean nothing in HTML, and a NUL ends the page in some readers.
function withoutControls(html: string): string {
  return html.replace(/[^\P{Cc}\n\r\t]/gu, '\uFFFD');
}

// Put into every form that sends something in one place, so that no template can forget it; a keeper's text is never written with a bare <.
function withHidden(html: string, field: HiddenField | null): string {
  if (field === null) return html;
  const input = `<input type="hidden" name="${field.name}" value="${Handlebars.escapeExpression(field.value)}">`;
  const tag = /<form\b[^>]* method="post"[^>]*>/;
  // A form that came back from one who was not signed in carries its own.
  return html.replace(new RegExp(`${tag.source}[\\s\\S]*?</form>`, 'g'), (form) =>
    form.includes(` name="${field.name}"`) ? form : form.replace(tag, (begin) => begin + input),
  );
}

function emptyState(text: string) {
  return { heading: emptyWords.heading, text, href: paths.start.show, action: emptyWords.action };
}

function titleOf(frame: Frame): string {
  // A screen reader reads the title first; it must say at once that the form was not saved.
  return `${frame.status === 422 ? 'Not saved: ' : ''}${frame.title} – ${productName}`;
}

// The place of the page itself is marked as the page; below a place that has none of its own, the place above it.
function menuOf(current: MenuKey | null, path: string) {
  const own = (Object.keys(menuLinks) as MenuKey[]).find((key) => menuLinks[key] === path);
  const marked = own ?? current;
  return {
    here: marked === null ? null : menuWords[marked],
    chapters: menuChapters.map(({ heading, places }) => ({
      heading,
      places: places.map((key) => ({
        href: menuLinks[key],
        label: menuWords[key],
        current: key !== marked ? null : key === own ? 'page' : 'true',
      })),
    })),
  };
}

function hrefOf(assets: ReadonlyMap<string, Asset>, name: string): string {
  const asset = assets.get(name);
  if (asset === undefined) throw new Error(`views/assets/${name} is missing`);
  return asset.href;
}

function readTemplates(folder: string): Map<string, string> {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.hbs'));
  return new Map(
    files
      .sort()
      .map((file) => [
        relative('.', file).replaceAll('\\', '/').slice(0, -'.hbs'.length),
        readFileSync(join(folder, file), 'utf8'),
      ]),
  );
}

function compile(handlebars: typeof Handlebars, program: hbs.AST.Program) {
  return handlebars.compile(program, { strict: true, knownHelpersOnly: true });
}

// Strict templates refuse {{missing}} but let {{#if missing}} and {{#each missing}} pass in silence. These close that hole; they add no
// helper of our own.
function refuseMissingFields(handlebars: typeof Handlebars): void {
  for (const name of ['if', 'unless', 'each', 'with']) {
    const original = handlebars.helpers[name]!;
    handlebars.registerHelper(name, function refuseMissing(this: unknown, value: unknown, ...rest: unknown[]) {
      if (value === undefined) throw new Error(`{{#${name}}} was given a field that the view model does not have`);
      return original.call(this, value, ...rest);
    });
  }
}

function inspect(
  handlebars: typeof Handlebars,
  name: string,
  source: string,
  partials: ReadonlyMap<string, string>,
): { program: hbs.AST.Program; used: ReadonlySet<string> } {
  const used = new Set<string>();
  const refuse = (reason: string): never => {
    throw new Error(`the template ${name}.hbs ${reason}`);
  };
  class Inspection extends Handlebars.Visitor {
    override MustacheStatement(statement: hbs.AST.MustacheStatement): void {
      if (!statement.escaped) refuse('writes text without escaping it');
      requireHelper(statement);
      super.MustacheStatement(statement);
    }
    override BlockStatement(statement: hbs.AST.BlockStatement): void {
      requireHelper(statement);
      super.BlockStatement(statement);
    }
    override SubExpression(expression: hbs.AST.SubExpression): void {
      requireHelper(expression);
      super.SubExpression(expression);
    }
    override PartialStatement(statement: hbs.AST.PartialStatement): void {
      requirePartial(statement.name);
      super.PartialStatement(statement);
    }
    override PartialBlockStatement(statement: hbs.AST.PartialBlockStatement): void {
      requirePartial(statement.name);
      super.PartialBlockStatement(statement);
    }
  }
  // Only a helper takes arguments.
  const requireHelper = ({ path, params, hash }: Pick<hbs.AST.MustacheStatement, 'path' | 'params' | 'hash'>): void => {
    if (params.length === 0 && hash === undefined) return;
    const called = 'original' in path ? String(path.original) : '';
    if (!Object.hasOwn(handlebars.helpers, called)) refuse(`uses the helper ${called}, which does not exist`);
  };
  const requirePartial = (called: hbs.AST.PathExpression | hbs.AST.SubExpression): void => {
    if (called.type !== 'PathExpression') refuse('chooses a partial while running');
    const partial = (called as hbs.AST.PathExpression).original;
    if (partial === '@partial-block') return;
    if (!partials.has(partial)) refuse(`uses the partial ${partial}, which does not exist`);
    used.add(partial);
  };
  try {
    const program = handlebars.parse(source);
    new Inspection().accept(program);
    return { program, used };
  } catch (problem) {
    if (problem instanceof Error && problem.message.startsWith('the template ')) throw problem;
    return refuse(`cannot be read: ${problem instanceof Error ? problem.message : problem}`);
  }
}
