// What axe finds wrong on a page, by the success criteria of WCAG 2.2, A and AA. Most of its work are colours, text by text: of texts whose
// colours come from the same rules of the style sheet one is looked at, however many pages have it.

import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Page } from 'playwright-core';

/** What was found wrong, a line a rule, and how many rules found nothing. */
export type Judged = { faults: string[]; passed: number };

/** The rules to judge by: all of them, also the good practice that no criterion asks for, or colours alone. */
export type Rules = 'all' | 'all-and-good-practice' | 'colours';

const tags = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa'];
const colourRules = ['color-contrast', 'link-in-text-block'];

// Only what is wrong is described element by element; there are no frames, films or style sheets from elsewhere to be looked up.
const lean = { resultTypes: ['violations'], selectors: false, preload: false };

const require = createRequire(import.meta.url);
const source = readFileSync(require.resolve('axe-core/axe.min.js'), 'utf8');

// What can tell one text's colours from another's in the style sheet: names of elements, classes, and these, from the page down to the text.
// The first visible text of each such kind is kept for the next step, and the kinds are given.
const kindsOfText = `(() => {
  const attributes = ['type', 'open', 'role', 'disabled', 'colspan', 'aria-current', 'aria-invalid', 'data-none', 'data-focus', 'data-column'];
  const kindOf = (one) => one === null ? '' : kindOf(one.parentElement) + '>' + one.localName + '.' + (one.getAttribute('class') ?? '')
    + attributes.filter((name) => one.hasAttribute(name)).map((name) => name === 'data-column' ? name : name + '=' + one.getAttribute(name)).join()
    + (/^http/.test(one.getAttribute('href') ?? '') ? 'out' : '');
  globalThis.textsByKind = new Map();
  for (const one of document.querySelectorAll('body *')) {
    const hasText = [...one.childNodes].some((node) => node.nodeType === 3 && node.data.trim() !== '') || one.matches('input, select, textarea');
    if (!hasText || !one.checkVisibility()) continue;
    const kind = kindOf(one);
    if (!textsByKind.has(kind)) textsByKind.set(kind, one);
  }
  return [...textsByKind.keys()];
})()`;

/** Judges pages in one kind of window; what texts it has seen there it does not look at again. */
export function judgeOf(): (page: Page, rules: Rules) => Promise<Judged> {
  const seen = new Set<string>();
  return async (page, rules) => {
    if (!(await page.evaluate('"axe" in globalThis'))) await page.evaluate(source);
    const judged: Judged = { faults: [], passed: 0 };
    const run = async (context: string, options: object) => {
      const [faults, passed] = (await page.evaluate(
        `axe.run(${context}, ${JSON.stringify({ ...lean, ...options })}).then(({ violations, passes }) =>
          [violations.map((one) => one.id + ': ' + one.nodes[0]?.html), passes.length])`,
      )) as [string[], number];
      judged.faults.push(...faults);
      judged.passed += passed;
    };
    if (rules !== 'colours') {
      const values = rules === 'all' ? tags : [...tags, 'best-practice'];
      const without = Object.fromEntries(colourRules.map((rule) => [rule, { enabled: false }]));
      await run('document', { runOnly: { type: 'tag', values }, rules: without });
    }
    const kinds = ((await page.evaluate(kindsOfText)) as string[]).filter((one) => !seen.has(one));
    for (const kind of kinds) seen.add(kind);
    if (kinds.length > 0) {
      const texts = `{ include: ${JSON.stringify(kinds)}.map((kind) => textsByKind.get(kind)) }`;
      await run(texts, { runOnly: { type: 'rule', values: colourRules } });
    }
    return judged;
  };
}
