// A page as somebody hears it who does not see it: by its headings, its links and buttons out of their context, its tables and drawings.

import { type Element, textOf } from './app.ts';
import type { Found } from './crawl.ts';

const hidden = (part: Element) => [...part.querySelectorAll('.visually-hidden')].map((one) => textOf(one));

/** What is wrong with a page for whoever hears it; the rules of WCAG 2.2 that each complaint rests on stand beside it. */
export function unheardOf({ address, page }: Found): string[] {
  const faults: string[] = [];
  const say = (fault: string) => faults.push(`${address}: ${fault}`);
  const main = page.document.querySelector('main')!;
  headingFaults(main).forEach(say);
  // 2.4.2: the title is what is heard first, and begins as the heading does.
  const heading = textOf(main.querySelector('h1'));
  const title = page.document.title.replace(/^Not saved: /, '');
  if (!title.startsWith(heading.split(/[ ,:]/, 1)[0]!)) say(`the title is ‘${title}’ and the heading ‘${heading}’`);
  pressFaults(main).forEach(say);
  for (const table of main.querySelectorAll('table')) tableFaults(table).forEach(say);
  // 1.1.1: a drawing says in a sentence what it shows.
  for (const drawing of main.querySelectorAll('svg[role="img"]')) {
    const sentence = textOf(drawing.querySelector('desc'));
    if (!/^\S.{20,}\.$/s.test(sentence)) say(`a drawing says no more than ‘${sentence}’`);
  }
  for (const group of main.querySelectorAll('fieldset'))
    if (textOf(group.querySelector('legend')) === '') say('a group of fields has no name');
  return faults;
}

// 1.3.1 and 2.4.6: one first heading, no level left out on the way down, none empty. A list of mistakes stands before the first heading.
function headingFaults(main: Element): string[] {
  const headings = [...main.querySelectorAll('h1, h2, h3, h4, h5, h6')].filter((one) => one.id !== 'mistakes-heading');
  const levels = headings.map((one) => Number(one.localName[1]));
  return [
    ...(levels[0] === 1 && levels.lastIndexOf(1) === 0 ? [] : [`its headings begin with ${levels.join(' ')}`]),
    ...headings.flatMap((one, place) =>
      textOf(one) === '' || levels[place]! > (levels[place - 1] ?? 0) + 1
        ? [`the heading ‘${textOf(one)}’ of level ${levels[place]} follows level ${levels[place - 1]}`]
        : [],
    ),
  ];
}

// 2.4.4 and 2.5.3: what is pressed says by itself where it leads, nothing else of the page is called the same, and what is heard has in
// it what is seen.
function pressFaults(main: Element): string[] {
  const faults: string[] = [];
  const targets = new Map<string, string>();
  for (const control of main.querySelectorAll('a[href], button')) {
    const words = textOf(control);
    const spoken = control.getAttribute('aria-label') ?? words;
    const shown = hidden(control).reduce((rest, one) => rest.replace(one, ''), words);
    if (!spoken.toLowerCase().includes(shown.trim().toLowerCase())) faults.push(`‘${shown}’ is read as ‘${spoken}’`);
    if (
      /^(|change|edit|remove|show|more|here|why|done|look at it|open|see|add|read|details?|put back|close)$/i.test(
        spoken,
      )
    )
      faults.push(`‘${spoken}’ does not say of what`);
    const target = targetOf(control);
    if ((targets.get(spoken) ?? target) !== target) faults.push(`two lead elsewhere and are both called ‘${spoken}’`);
    targets.set(spoken, target);
  }
  return faults;
}

function targetOf(control: Element): string {
  const address = control.getAttribute('href') ?? control.getAttribute('formaction');
  if (address !== null) return address;
  const form = (control as Element & { closest: (selector: string) => Element | null }).closest('form');
  const fields = [...(form?.querySelectorAll('input[type="hidden"]') ?? [])];
  return `${form?.getAttribute('action')} ${fields.map((one) => one.getAttribute('value')).join(' ')}`;
}

// 1.3.1: a name, a name for each column and row, and for each of these which of both it is.
function tableFaults(table: Element): string[] {
  const name = textOf(table.querySelector('caption'));
  const heads = [...table.querySelectorAll('th')];
  return [
    ...(name === '' ? ['a table has no name'] : []),
    ...(heads.every((one) => one.hasAttribute('scope') && textOf(one) !== '')
      ? []
      : [`‘${name}’ has a head without words or scope`]),
    ...([...table.querySelectorAll('tbody tr')].every((row) => row.querySelector('th') !== null)
      ? []
      : [`a row of ‘${name}’ has no head`]),
  ];
}
