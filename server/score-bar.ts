// How a score is drawn: the words first, then a rule from 0 to 100 with a tick where the word changes. A thick line reaches the lowest that
// the score may be, hatching the highest, and a dot stands at the score itself. The only file that knows the rule's measures.

/** A score as views/partials/score-bar.hbs draws it. */
export type ScoreBar = {
  /** The score in words and figures; all that a screen reader is given. */
  text: string;
  /** Places along the drawing in its own units, or null when nothing is known and there is nothing to draw. */
  bar: { known: string; span: string; mark: string } | null;
};

const RULE_LENGTH = 200;
const RULE_START = 6;

/** The rule for a score from 0 to 100 that lies between `low` and `high`; each is held within 0 to 100. */
export function scoreBar(text: string, score: number, low: number, high: number): ScoreBar {
  const along = (value: number) => (Math.min(Math.max(value, 0), 100) / 100) * RULE_LENGTH;
  const [known, reach] = [along(Math.min(low, high)), along(Math.max(low, high))];
  const write = (length: number) => length.toFixed(1);
  return {
    text,
    bar: {
      known: write(RULE_START + known),
      span: write(reach - known),
      mark: write(RULE_START + along(score)),
    },
  };
}
