// A keeper at the pages of the ledger: what is seen, pressed, typed and chosen there, by finger or by keyboard alone. By keyboard every stop on
// the way is looked at: it must show that it has the focus, and must be in sight and under nothing else (WCAG 2.2, 2.4.7 and 2.4.11).

import type { Locator, Page } from 'playwright-core';
import { expect } from 'vitest';

/** The words of a part of a page as they can be seen: what is folded away is not among them. */
export async function seen(part: Locator): Promise<string> {
  // biome-ignore lint/performance/useDomNodeTextContent: textContent has hidden words too
  return (await part.innerText()).replace(/\s+/g, ' ').trim();
}

/** The ways to work a control. */
type Hands = {
  /** Presses a button, link or summary. */
  press: (control: Locator) => Promise<void>;
  /** Puts a text, or a day as 2026-01-15, in place of what a control holds. */
  type: (control: Locator, text: string) => Promise<void>;
  /** Chooses an option of a list by its words. */
  pick: (control: Locator, words: string) => Promise<void>;
  /** Ticks a box or chooses a radio button. */
  tick: (control: Locator) => Promise<void>;
};

/** With a finger. */
export const byFinger: Hands = {
  press: (control) => control.click(),
  type: (control, text) => control.fill(text),
  pick: async (control, words) => void (await control.selectOption({ label: words })),
  tick: (control) => control.check(),
};

// The control that has the focus: its words, whether that shows, whether it is in sight, and whether it is the one looked for. What the page
// itself gave the focus to, to go on from there, is no control.
const stop = new Function(
  'target',
  `
  const at = document.activeElement;
  if (at === document.body || at.matches('main, [data-focus]')) return ['', true, true, at === target];
  const { outlineStyle, outlineWidth } = getComputedStyle(at);
  const { left, top, width, height } = at.getClientRects()[0];
  const over = document.elementFromPoint(left + width / 2, top + height / 2);
  return [(at.innerText || at.name || at.localName).trim().slice(0, 60), outlineStyle !== 'none' && parseFloat(outlineWidth) >= 2,
    over !== null && (at.contains(over) || over.contains(at)), at === target];`,
) as (target: unknown) => [string, boolean, boolean, boolean];

// More stops than any page has between two controls that follow each other.
const MOST_STOPS = 150;

/** With the Tab key, Enter, Space, the arrows and letters. */
export function byKeyboard(page: Page): Hands & { stops: () => number } {
  let stops = 0;
  const reach = async (control: Locator) => {
    // Found once: to look for it by its name at each stop would take longer than all the stops.
    const target = await control.elementHandle();
    for (let step = 0; step <= MOST_STOPS; step += 1) {
      const [words, isMarked, isInSight, isThere] = await target!.evaluate(stop);
      expect(isMarked, `on ${page.url()} ‘${words}’ shows that it has the focus`).toBe(true);
      expect(isInSight, `on ${page.url()} ‘${words}’ is in sight and under nothing`).toBe(true);
      if (isThere) return;
      stops += 1;
      await page.keyboard.press('Tab');
    }
    throw new Error(`on ${page.url()} the Tab key does not come to ${control}`);
  };
  return {
    stops: () => stops,
    press: async (control) => {
      await reach(control);
      await page.keyboard.press('Enter');
    },
    type: async (control, text) => {
      await reach(control);
      if ((await control.getAttribute('type')) === 'date') {
        // As Chromium writes days in English of the United States: month, day, year.
        const [year, month, day] = text.split('-');
        await page.keyboard.type(`${month}${day}${year}`);
        return;
      }
      await page.keyboard.press('Control+A');
      await page.keyboard.press('Delete');
      await page.keyboard.type(text);
    },
    pick: async (control, words) => {
      await reach(control);
      const options = await control.locator('option').allTextContents();
      const place = options.findIndex((one) => one.trim() === words);
      if (place < 0) throw new Error(`there is no ‘${words}’ among ${options.join(', ')}`);
      await page.keyboard.press('Home');
      for (let step = 0; step < place; step += 1) await page.keyboard.press('ArrowDown');
    },
    tick: async (control) => {
      // Of radio buttons the Tab key comes to the chosen one, or to the first or last; arrows lead on.
      if ((await control.getAttribute('type')) === 'radio') {
        const group = page.locator(`input[type=radio][name="${await control.getAttribute('name')}"]`);
        const chosen = group.and(page.locator(':checked'));
        await reach((await chosen.count()) > 0 ? chosen : group.first());
        for (let turn = await group.count(); turn > 0 && !(await isFocused(page, control)); turn -= 1)
          await page.keyboard.press('ArrowDown');
      } else await reach(control);
      if (!(await control.isChecked())) await page.keyboard.press('Space');
    },
  };
}

const isFocused = async (page: Page, control: Locator) => (await control.and(page.locator(':focus')).count()) > 0;

/** What a keeper does at a page with these hands. */
export function keeperAt(page: Page, hands: Hands = byFinger) {
  const read = () => seen(page.locator('main'));
  const notice = () => seen(page.getByRole('status').first());
  const leading = async (control: Locator) => {
    await Promise.all([page.waitForEvent('load'), hands.press(control)]);
  };
  const press = async (name: string | RegExp, within = page.locator('main')) =>
    leading(within.getByRole('button', { name }).or(within.getByRole('link', { name })).first());
  return {
    read,
    notice,
    press,
    /** Opens an entry of the menu. */
    goTo: async (name: string) => {
      await hands.press(page.locator('.menu summary'));
      await leading(page.getByRole('navigation').getByRole('link', { name, exact: true }));
    },
    /** Fills in controls by their labels: a text is typed, a choice is made by its words. */
    fill: async (answers: Record<string, string>) => {
      for (const [label, answer] of Object.entries(answers)) {
        const control = page.locator('main').getByLabel(label, { exact: true }).first();
        if ((await control.locator('xpath=self::select').count()) > 0) await hands.pick(control, answer);
        else await hands.type(control, answer);
        if ((await control.getAttribute('type')) === 'date') expect(await control.inputValue(), label).toBe(answer);
      }
    },
    /** Chooses an answer of a question with buttons. */
    choose: async (question: string, answer: string) => {
      const control = page.getByRole('group', { name: question }).getByLabel(answer, { exact: true });
      await hands.tick(control);
      expect(await control.isChecked(), `${question} ${answer}`).toBe(true);
    },
    /** Opens everything that is folded away. */
    unfold: async () => {
      const folded = page.locator('main details:not([open]) > summary');
      while ((await folded.count()) > 0) await hands.press(folded.first());
    },
    /** Presses a button and expects the page to say that it is done. */
    done: async (button: string | RegExp, words: string) => {
      await press(button);
      expect(await notice()).toBe(words);
    },
    /** Has a plan made; where no script asks how far it is, what the page offers is pressed. */
    plan: async (button: string, { isScripted = false } = {}) => {
      await press(button);
      if (isScripted) await page.waitForURL((url) => url.pathname === '/roadmap');
      for (let times = 0; (await page.title()).startsWith('Planning') && times < 60; times += 1) {
        await page.waitForTimeout(250);
        await press('Check progress');
      }
      expect(await page.title()).toBe('Roadmap – Basking Ledger');
    },
    /** The row of a list of upgrades that begins with a name. */
    row: (name: RegExp) => page.locator('li.need').filter({ has: page.getByRole('heading', { name }) }),
  };
}
