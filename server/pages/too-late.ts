// How a step is answered that another window overtook: what is saved by now stands beside what was typed, above the form where the step can
// still be taken, and by itself where it cannot.

import type { FastifyReply } from 'fastify';
import { type Conflict, conflictView, type Field, textsInWords } from '../fields.ts';
import { formSentences } from '../form-words.ts';
import type { Values } from '../forms.ts';
import type { MenuKey, Render } from '../render.ts';

/** A step that came too late. */
type LateStep = {
  /** The heading of its page, which says what it would have done. */
  heading: string;
  /** Its controls, from which it is known what each is called and what its answers mean. */
  fields: readonly Field[];
  /** What completes 'While you were typing, ... was changed elsewhere.' */
  called: string;
  /** What has become of the row, in words; not given where its fields say all. */
  state?: string;
  /** The texts that its controls would have for what is saved, as far as anything is. */
  saved: Values;
  typed: Values;
  /** Where the row is shown as it is. */
  shownAt: string;
};

/** Both versions, in words, for the page of the step with its form. */
export function lateConflict({ heading, fields, called, state, saved, typed, shownAt }: LateStep): Conflict {
  const labels = Object.fromEntries(fields.map((one) => [one.name, one.label]));
  const conflict = conflictView(called, labels, textsInWords(fields, saved), textsInWords(fields, typed), shownAt);
  if (state === undefined) return conflict;
  const row = { label: formSentences.state, saved: state, typed: heading };
  return { ...conflict, rows: [row, ...conflict.rows] };
}

/** Answers a step that can no longer be taken: with both versions and the way to what is there, and no form. */
export function showTooLate(render: Render, reply: FastifyReply, step: LateStep, current: MenuKey): FastifyReply {
  const conflict = { ...lateConflict(step), isOver: true };
  const { heading } = step;
  return render(reply, 'too-late', { heading, lead: null, conflict }, { title: heading, current, status: 409 });
}
