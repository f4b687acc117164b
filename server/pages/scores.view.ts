// Scores side by side, of the animals of a ledger or of the needs of one animal: the drawing, what it shows in a sentence, and the same
// figures as a table.

import type { Band } from '../../src/score.ts';
import { bandWords, wordsOfScale } from '../score-words.ts';
import { type Chart, scoresChart } from './chart.ts';

/** A score with its name and its word, as it is drawn. */
export type NamedScore = { name: string; score: number; low: number; high: number; band: Band };

/** What views/partials/scores.hbs lays out. */
export type ScoresView = {
  chart: Chart;
  tableId: string;
  caption: string;
  /** The heading of the first column, such as 'Need'. */
  first: string;
  rows: { name: string; word: string; score: string; low: string; high: string }[];
};

/** Two scores or more in the given order; null for fewer, which need no drawing beside each other. */
export function scoresView(
  scores: readonly NamedScore[],
  { id, title, first, finding }: { id: string; title: string; first: string; finding: string },
): ScoresView | null {
  if (scores.length < 2) return null;
  const write = (value: number) => String(Math.round(value));
  const open = scores.some(({ low, high }) => write(low) !== write(high));
  return {
    chart: scoresChart({
      id,
      title,
      description: finding,
      caption: `${finding}${open ? ' Hatched: where a score may lie as long as it is not known better.' : ''}`,
      rows: scores,
      words: wordsOfScale,
    }),
    tableId: `${id}-table`,
    caption: title,
    first,
    rows: scores.map(({ name, score, low, high, band }) => ({
      name,
      word: bandWords[band],
      score: write(score),
      low: write(low),
      high: write(high),
    })),
  };
}

/** How many of the scores meet the target, and which is the lowest. */
export function scoresFinding(scores: readonly NamedScore[], what: string): string {
  const lowest = scores.reduce((a, b) => (b.score < a.score ? b : a), scores[0]!);
  const met = scores.filter(({ band }) => band === 'meets').length;
  return `${lowest.name} is lowest with ${Math.round(lowest.score)} of 100; ${met} of ${scores.length} ${what} ${met === 1 ? 'meets' : 'meet'} the target.`;
}
