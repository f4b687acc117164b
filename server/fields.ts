// What the form partials need to draw a control: ids, hints, mistakes and how they point at one another. Pages say what a field is;
// only this file knows how label, hint and mistake are tied together for a screen reader.

import { readDate } from '../src/calendar.ts';
import { LOOK_AGAIN, mistakesHeading } from './form-words.ts';
import type { FormState, Values } from './forms.ts';
import { sharedWords } from './words.ts';

/** One answer of a select or a group of radio buttons. */
export type Answer = { value: string; label: string; hint?: string };

/** A control as views/partials/field.hbs draws it. */
export type Field = {
  /** The name it is sent under. */
  name: string;
  /** The id of its control; of the first control in a group. */
  id: string;
  label: string;
  hint: string | null;
  error: string | null;
  hintId: string;
  errorId: string;
  /** The ids that aria-describedby lists, or null when there is neither hint nor mistake. */
  describedBy: string | null;
  /** The text in the control. */
  value: string;
  /** 'numeric' or 'decimal' brings up digits on a telephone; 'text' otherwise. */
  inputMode: string;
  autocomplete: string;
  /** The class for its width: a short answer gets a short box. */
  width: string;
  /** The unit or sign that stands after the control, or null. */
  suffix: string | null;
  checked: boolean;
  rows: string;
  options: { value: string; label: string; hint: string | null; id: string; hintId: string; selected: boolean }[];
  isText: boolean;
  isDate: boolean;
  isTextarea: boolean;
  isSelect: boolean;
  isRadios: boolean;
  isCheckbox: boolean;
};

/** What a page may say about a field beyond its label. */
export type FieldOptions = {
  hint?: string;
  inputMode?: 'text' | 'numeric' | 'decimal';
  width?: 'short' | 'medium' | 'wide';
  suffix?: string;
};

/** One line of text. */
export function textField(form: FormState, name: string, label: string, options: FieldOptions = {}): Field {
  return { ...bare(form, name, label, options), isText: true };
}

/** A number, with or without a unit: still one line of text, so that '1,5 m' can be typed, but narrow and aligned as a figure. */
export function numberField(form: FormState, name: string, label: string, options: FieldOptions = {}): Field {
  return { ...bare(form, name, label, { width: 'short', inputMode: 'text', ...options }), isText: true };
}

/** A day; browsers without a date picker show it as text, year-month-day. */
export function dayField(form: FormState, name: string, label: string, options: FieldOptions = {}): Field {
  const field = bare(form, name, label, { width: 'medium', ...options });
  // A date control shows nothing for a day that does not exist, so a mistyped day is shown as text.
  const isDate = field.value === '' || readDate(field.value) !== null;
  return { ...field, isDate, isText: !isDate };
}

/** Several lines of text. */
export function notesField(
  form: FormState,
  name: string,
  label: string,
  options: FieldOptions & { rows?: number } = {},
): Field {
  return {
    ...bare(form, name, label, { width: 'wide', ...options }),
    isTextarea: true,
    rows: String(options.rows ?? 4),
  };
}

/** A list that opens. `answers` holds the empty answer too, when none may be chosen. */
export function selectField(
  form: FormState,
  name: string,
  label: string,
  answers: readonly Answer[],
  options: FieldOptions = {},
): Field {
  return { ...bare(form, name, label, options), isSelect: true, options: offered(form, name, answers) };
}

/** Answers that are all in sight, of which one may be chosen. */
export function radioField(
  form: FormState,
  name: string,
  label: string,
  answers: readonly Answer[],
  options: FieldOptions = {},
): Field {
  return { ...bare(form, name, label, options), isRadios: true, options: offered(form, name, answers) };
}

/** A tick box; it is sent as 'yes' when ticked. */
export function checkboxField(form: FormState, name: string, label: string, options: FieldOptions = {}): Field {
  return { ...bare(form, name, label, options), isCheckbox: true, checked: form.values[name] === 'yes' };
}

/** The tick box that says a value asked back is right as typed: none until it was asked back, then as long as it is ticked. */
export function sureField(form: FormState, asked: string, name: string, label: string): Field[] {
  const isAsked = form.errors.some(({ field, message }) => field === asked && message.startsWith(LOOK_AGAIN));
  return isAsked || form.values[name] === 'yes' ? [checkboxField(form, name, label)] : [];
}

/** The list of mistakes as views/partials/error-summary.hbs draws it; null when there are none. */
export type ErrorSummary = { heading: string; mistakes: { href: string; message: string }[] };

/** The mistakes of a form, each with a link to its control; null when there are none. */
export function errorSummary(form: FormState): ErrorSummary | null {
  if (form.errors.length === 0) return null;
  return {
    heading: mistakesHeading(form.errors.length),
    // A mistake of the whole form has no control of its own, so its link leads to the top of the page's content.
    mistakes: form.errors.map(({ field, message }) => ({
      href: field === '' ? '#content' : `#${controlId(field)}`,
      message,
    })),
  };
}

/** Both versions of a row that was changed in two places, as views/partials/conflict.hbs draws them. */
export type Conflict = {
  /** What was changed while this was being typed. */
  heading: string;
  /** Each field that differs, with what is saved now and what was typed; empty texts are shown as a dash. */
  rows: { label: string; saved: string; typed: string }[];
  /** How many answers are the same in both versions, in words; null where none is. */
  alike: string | null;
  /** Where to go to keep what is saved and drop what was typed. */
  keepSaved: string;
  /** Whether what was typed can no longer be sent, so that no form stands below. */
  isOver: boolean;
};

/**
 * Sets what is saved now beside what was typed, where they differ. `labels` names the fields to show, in order. The page shows it above the same form,
 * filled with what was typed and carrying the version that is saved now, with status 409: sending it again replaces what is saved.
 */
export function conflictView(
  what: string,
  labels: Readonly<Record<string, string>>,
  saved: Values,
  typed: Values,
  keepSaved: string,
): Conflict {
  const pairs = Object.entries(labels).map(([name, label]) => ({
    label,
    saved: saved[name] || '–',
    typed: typed[name] || '–',
  }));
  const rows = pairs.filter((one) => one.saved !== one.typed);
  const alike = sharedWords.alike(pairs.length - rows.length, rows.length);
  return { heading: sharedWords.changedMeanwhile(what), rows, alike, keepSaved, isOver: false };
}

/** What texts mean in the controls of a form: the label of an answer that is chosen, and whether a box is ticked. */
export function textsInWords(fields: readonly Field[], texts: Values): Values {
  const inWords = fields.map((one) => {
    const text = texts[one.name] ?? '';
    if (one.isCheckbox) return [one.name, text === 'yes' ? 'ticked' : ''];
    return [one.name, text === '' ? '' : (one.options.find(({ value }) => value === text)?.label ?? text)];
  });
  return { ...texts, ...Object.fromEntries(inWords) };
}

/** A page that is one form, as views/pages/form.hbs draws it. */
export type FormPage = {
  heading: string;
  lead: string | null;
  mistakes: ErrorSummary | null;
  conflict: Conflict | null;
  /** What to mind before doing what the form records, whole sentences. */
  cautions: readonly string[];
  /** Where it is sent. */
  action: string;
  /** The version of the row it was opened with, or null for a new row. */
  version: string | null;
  /** What tells a form sent twice from two of the same kind; null for a row that is there already. */
  once: string | null;
  /** Fields that belong together, under a legend, or under none. Folded ones with a legend open on a click; `open` ones are shown opened. */
  groups: { legend: string | null; folded: boolean; open: boolean; fields: Field[] }[];
  /** The words of the button that sends it. */
  submit: string;
  /** Where Cancel leads. */
  cancel: string;
  /** Pages on which more of the kind is set, or that belong to it. */
  related: readonly Related[];
};

type Related = { href: string; label: string };

/** What differs from form to form; lead, version, conflict, cautions and related pages are for those that have them. */
export type FormPageParts = Pick<FormPage, 'heading' | 'action' | 'submit' | 'cancel'> &
  Partial<Pick<FormPage, 'lead' | 'version' | 'once' | 'conflict' | 'cautions'>> & {
    related?: Related | readonly Related[];
    groups: { legend: string | null; folded?: boolean; open?: boolean; fields: Field[] }[];
  };

/** The whole view model of a page that is one form, in the state the form is in. */
export function formPage(form: FormState, parts: FormPageParts): FormPage {
  return {
    lead: null,
    version: null,
    once: null,
    conflict: null,
    cautions: [],
    ...parts,
    related: [parts.related ?? []].flat(),
    groups: parts.groups.map(({ folded = false, open = false, ...group }) => ({
      ...group,
      folded,
      // A mistake must be in sight.
      open: open || group.fields.some((one) => one.error !== null),
    })),
    mistakes: errorSummary(form),
  };
}

/** A page that asks before something is removed, as views/pages/confirm.hbs draws it. */
export type ConfirmPage = {
  heading: string;
  lead: string | null;
  /** What goes with it, one sentence each. */
  consequences: string[];
  action: string;
  version: string | null;
  submit: string;
  cancel: string;
};

function bare(form: FormState, name: string, label: string, options: FieldOptions): Field {
  const id = controlId(name);
  const error = form.errors.find((mistake) => mistake.field === name)?.message ?? null;
  const hint = options.hint ?? null;
  const describedBy = [hint === null ? '' : `${id}-hint`, error === null ? '' : `${id}-error`]
    .filter((part) => part !== '')
    .join(' ');
  return {
    name,
    id,
    label,
    hint,
    error,
    hintId: `${id}-hint`,
    errorId: `${id}-error`,
    describedBy: describedBy === '' ? null : describedBy,
    value: form.values[name] ?? '',
    inputMode: options.inputMode ?? 'text',
    autocomplete: 'off',
    width: `width-${options.width ?? 'medium'}`,
    suffix: options.suffix ?? null,
    checked: false,
    rows: '4',
    options: [],
    isText: false,
    isDate: false,
    isTextarea: false,
    isSelect: false,
    isRadios: false,
    isCheckbox: false,
  };
}

function offered(form: FormState, name: string, answers: readonly Answer[]): Field['options'] {
  const id = controlId(name);
  return answers.map(({ value, label, hint }, place) => ({
    value,
    label,
    hint: hint ?? null,
    id: place === 0 ? id : `${id}-${place + 1}`,
    hintId: `${id}-${place + 1}-hint`,
    selected: (form.values[name] ?? '') === value,
  }));
}

function controlId(name: string): string {
  return `field-${name.replace(/[^A-Za-z0-9_-]/g, '-')}`;
}
