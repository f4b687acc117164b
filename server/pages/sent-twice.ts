// A form for something new that reaches the ledger twice (a double tap, a reload) enters it once. Only this file knows how the second
// sending is told from a second thing of the same kind.

import { withNotice } from '../paths.ts';

/** The hidden field that every form for something new carries. */
export const ONCE_FIELD = 'once';

const MOST_REMEMBERED = 200;

/** What was entered lately by the forms of one page, forgotten when the program stops. */
export type SentTwice = {
  /** The text for the hidden field of a form about to be shown. */
  mark: () => string;
  /** Where the first sending of this very form led, with a notice that says so; null when this is the first. */
  led: (body: unknown) => string | null;
  /** Remembers where a form led. A form without the field is not remembered. */
  remember: (body: unknown, shownAt: string) => void;
};

/** A memory for the forms of one page. */
export function watchForTwice(): SentTwice {
  const ledTo = new Map<string, string>();
  return {
    mark: () => crypto.randomUUID(),
    led: (body) => {
      const shownAt = ledTo.get(sending(body) ?? '');
      return shownAt === undefined ? null : withNotice(shownAt, 'sent-twice');
    },
    remember: (body, shownAt) => {
      const sent = sending(body);
      if (sent === null) return;
      ledTo.set(sent, shownAt);
      if (ledTo.size > MOST_REMEMBERED) ledTo.delete(ledTo.keys().next().value!);
    },
  };
}

// The whole of what was sent: going back and changing a form makes another thing of it, which must not be lost.
function sending(body: unknown): string | null {
  const fields = (body ?? {}) as Record<string, unknown>;
  return typeof fields[ONCE_FIELD] === 'string' && fields[ONCE_FIELD] !== '' ? JSON.stringify(fields) : null;
}
