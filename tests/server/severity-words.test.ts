// What is said of severe shortfalls: why one is ended only later, what a purchase that was put off does for it, and why a need that is worth
// next to nothing is not called severe. The wording is our own.

import { expect, test } from 'vitest';
import { behindSentence, changeReasonSentence, laterSentence, offListWords } from '../../server/plan-words.ts';
import { notSevereSentence } from '../../server/score-words.ts';
import { money } from '../../src/money.ts';
import type { NeedScore } from '../../src/score.ts';

test('What ends a shortfall only later is named with its sum and month, and whether this month’s purchases delay it', () => {
  const said = laterSentence('heat of Biscuit', 'Heater', '€152.00', 'March 2026', {
    why: 'first-payable',
    delay: null,
  });
  expect(said).toBe(
    'What ends the severe shortfall in heat of Biscuit is “Heater” (€152.00), in March 2026: before then it costs more than there is, even if nothing else is bought, so what is bought now does not delay it.',
  );
  const rivals = laterSentence('heat of Biscuit', 'Heater', '€152.00', 'March 2026', {
    why: 'others-gain-more-before',
    delay: null,
  });
  expect(rivals).toMatch(/: until then the money does more for other purchases of this plan\.$/);
});

test('A purchase that is put off is not said to end what the money ends elsewhere', () => {
  const change = { why: 'fewer-severe', gain: 0, severe: 21, was: 0, is: 11 } as const;
  expect(changeReasonSentence(change, ['Thermostat'])).toBe(
    'Its money goes to “Thermostat” first; all of that together ends 21 severe shortfalls × months.',
  );
  expect(changeReasonSentence({ ...change, was: 11, is: 0 }, [])).toBe('It ends 21 severe shortfalls × months.');
});

test('A purchase behind a worse need says that no score rises by it and that it may wait', () => {
  const effect = { animalId: '1', need: 'hides' as const, from: 85, to: 100, severe: 'unchanged' as const };
  const buy = { price: money(1600), worth: { points: 0, severe: 0 }, effects: [effect] };
  expect(behindSentence(buy)).toMatch(/^No score rises by it yet, because a worse need holds the score down/);
  expect(behindSentence({ ...buy, worth: { points: 6.8, severe: 0 } })).toBeNull();
  expect(behindSentence({ ...buy, worth: { points: 0, severe: 2 } })).toBeNull();
  expect(behindSentence({ ...buy, price: money(0) })).toBeNull();
});

test('Needs that something off the list would end are told apart from those that nothing ends', () => {
  const off = [{ need: 'safety' as const, ways: '“Thermostat” (€45.00) would end it; it is not on your list' }];
  expect(offListWords(off, ['space'])).toBe(
    'safety: “Thermostat” (€45.00) would end it; it is not on your list; nothing on the list ends it: space',
  );
});

test('A very low need that is not severe says why; a severe one, a higher one and one from memory do not', () => {
  const space: NeedScore = {
    ...{ need: 'space', weight: 20, allowance: 50, lifeCritical: false, value: 1, low: 1, high: 1 },
    ...{ severe: false, unknown: false, fromMemory: 0, reasons: [] },
  };
  expect(notSevereSentence(space)).toContain('less than 33 % of the space that is asked for');
  expect(notSevereSentence({ ...space, unknown: true })).toContain('only as long as it is not known');
  expect(notSevereSentence({ ...space, severe: true })).toBeNull();
  expect(notSevereSentence({ ...space, value: 20 })).toBeNull();
  const remembered = { reason: { why: 'severe-from-memory' as const }, cited: null, lost: 99, severe: false };
  expect(notSevereSentence({ ...space, reasons: [remembered] })).toBeNull();
});
