// How a score is drawn: the words first, then a bar that is solid up to the lowest it may be, hatched up to the highest, with a stroke
// at the score itself. The only file that knows the bar's measures.

/** A score as views/partials/score-bar.hbs draws it. */
export type ScoreBar = {
  /** The score in words and figures; all that a screen reader is given. */
  text: string;
  /** The bar's lengths in the drawing's own units, or null when nothing is known and there is no bar to draw. */
  bar: { known: string; spanFrom: string; span: string; mark: string } | null;
};

const BAR_LENGTH = 200;
const BAR_START = 1;

/** A bar for a score from 0 to 100 that lies between `low` and `high`; each is held within 0 to 100. */
export function scoreBar(text: string, score: number, low: number, high: number): ScoreBar {
  const along = (value: number) => (Math.min(Math.max(value, 0), 100) / 100) * BAR_LENGTH;
  const [known, reach] = [along(Math.min(low, high)), along(Math.max(low, high))];
  const write = (length: number) => length.toFixed(1);
  return {
    text,
    bar: {
      known: write(known),
      spanFrom: write(BAR_START + known),
      span: write(reach - known),
      mark: write(BAR_START + along(score)),
    },
  };
}
