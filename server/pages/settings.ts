// The page of settings: currency, how money, dates and measures are written, and which rule lists count.

import type { FastifyInstance } from 'fastify';
import { type ClockHours, dateOfInstant, formatDate } from '../../src/calendar.ts';
import { type Currency, currencyOf } from '../../src/money.ts';
import { RULE_SETS, type RuleSet } from '../../src/species.ts';
import { degreesOf, measuresOf, type UnitSystem, unitSystemOf } from '../../src/units.ts';
import type { Ledger } from '../db/ledger.ts';
import { holdsAmounts } from '../db/money.ts';
import { type Answer, checkboxField, numberField, radioField, selectField } from '../fields.ts';
import { checkbox, choice, type FormError, fieldReadBy, formOf, optionalDecimal, type ReadText } from '../forms.ts';
import { ruleSetNames } from '../kind-words.ts';
import { moneySentences } from '../money-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { startSentences } from '../start-words.ts';
import { registerLedgerForm } from './ledger-form.ts';

/** Pages are written in English, so only its own ways of writing dates and amounts are offered. */
export const offeredLocales: readonly Answer[] = [
  { value: 'en-GB', label: 'United Kingdom: 31 March 2026, 1,234.50' },
  { value: 'en-US', label: 'United States: March 31, 2026, 1,234.50' },
  { value: 'en-IE', label: 'Ireland: 31 March 2026, 1,234.50' },
  { value: 'en-CA', label: 'Canada: March 31, 2026, 1,234.50' },
  { value: 'en-AU', label: 'Australia: 31 March 2026, 1,234.50' },
  { value: 'en-NZ', label: 'New Zealand: 31 March 2026, 1,234.50' },
  { value: 'en-ZA', label: 'South Africa: 31 March 2026, 1 234,50' },
  { value: 'en-IN', label: 'India: 31 March 2026, 1,23,456.50' },
  { value: 'en-SE', label: 'English as written in Sweden: 31 March 2026, 1 234,50' },
];

/** The rule lists a keeper can choose: evidence always holds, and what the keeper wrote holds wherever it was written. */
export const chosenRuleSets = RULE_SETS.filter((one) => one !== 'evidence' && one !== 'own');

/** The field of a form that ticks a rule list. */
export const ruleField = (one: RuleSet) => `rule-${one}`;

type SettingsValue = {
  currency: Currency;
  locale: string;
  timeZone: string;
  unitSystem: UnitSystem;
  clockHours: ClockHours;
  ruleSets: RuleSet[];
  /** Degrees north of the equator; null while nobody said. */
  latitude: number | null;
};

const labels: Readonly<Record<string, string>> = {
  currency: 'Currency',
  locale: 'How dates and amounts are written',
  timeZone: 'Time zone',
  measures: 'Lengths, volumes and weights',
  degrees: 'Temperatures',
  clock: 'Hours of the day',
  latitude: 'Latitude where you live',
  ...Object.fromEntries(chosenRuleSets.map((one) => [ruleField(one), ruleSetNames[one]])),
};

export function settingsPages(app: FastifyInstance, deps: Deps): void {
  registerLedgerForm<SettingsValue>(app, deps, {
    url: paths.settings,
    back: paths.money,
    called: 'the settings',
    schema: settingsSchema,
    mistakes: (ledger, { currency }, _today, session): FormError[] =>
      currency.decimals !== ledger.currency.decimals && holdsAmounts(session)
        ? [{ field: 'currency', message: moneySentences.otherDecimals(ledger.currency.code, currency.code) }]
        : [],
    texts: (ledger) => ({
      currency: ledger.currency.code,
      locale: ledger.locale,
      timeZone: ledger.timeZone,
      measures: measuresOf(ledger.unitSystem),
      degrees: degreesOf(ledger.unitSystem),
      clock: String(ledger.clockHours),
      latitude: ledger.latitude === null ? '' : String(ledger.latitude),
      ...Object.fromEntries(chosenRuleSets.map((one) => [ruleField(one), ledger.ruleSets.includes(one) ? 'yes' : ''])),
    }),
    labels,
    form: (ledger, form) => ({
      heading: 'Settings',
      groups: [
        {
          legend: 'Money and dates',
          fields: [
            numberField(form, 'currency', labels.currency!, {
              hint: 'Three letters, such as EUR. Amounts that were entered are not converted.',
            }),
            selectField(form, 'locale', labels.locale!, withPresent(offeredLocales, ledger.locale)),
            selectField(form, 'timeZone', labels.timeZone!, timeZones(ledger.timeZone), {
              hint: startSentences.zoneHint(formatDate(dateOfInstant(deps.now(), ledger.timeZone), ledger.locale)),
            }),
            radioField(form, 'clock', labels.clock!, [
              { value: '24', label: 'From 0 to 23, such as 18:15' },
              { value: '12', label: 'With am and pm, such as 6:15 pm' },
            ]),
          ],
        },
        {
          legend: 'Measures',
          fields: [
            radioField(
              form,
              'measures',
              labels.measures!,
              [
                { value: 'metric', label: 'Centimetres, litres and grams' },
                { value: 'imperial', label: 'Inches, US gallons and ounces' },
              ],
              { hint: 'A value may be typed in any unit that is written behind it, and comes back as typed.' },
            ),
            radioField(form, 'degrees', labels.degrees!, [
              { value: 'C', label: '°C (Celsius)' },
              { value: 'F', label: '°F (Fahrenheit)' },
            ]),
            numberField(form, 'latitude', labels.latitude!, {
              hint: 'In degrees north of the equator, such as 51.5, with a minus sign in the south. It decides how long the day is; leave it empty if you would rather not say.',
            }),
          ],
        },
        {
          legend: 'Rule lists for space',
          fields: chosenRuleSets.map((one) => checkboxField(form, ruleField(one), labels[ruleField(one)]!)),
        },
      ],
      submit: 'Save',
      related: [
        { href: paths.valueChoices.show, label: 'Value choices: weights, who comes first, how far ahead' },
        { href: paths.access.show, label: 'Who gets in: the password, and who is signed in' },
        { href: paths.export.show, label: 'Export: calendar, tables, the whole ledger' },
        { href: paths.backups.list, label: 'Backups: make one, restore one' },
        { href: paths.start.show, label: 'The way to your first plan, and to take its steps out again' },
      ],
    }),
    changes: (value) => value,
  });
}

function settingsSchema(ledger: Ledger) {
  const shown = withPresent(offeredLocales, ledger.locale).map((one) => one.value);
  const rules = Object.fromEntries(chosenRuleSets.map((one) => [ruleField(one), checkbox(ruleSetNames[one])]));
  return formOf({
    currency: currencyField(),
    locale: choice('how dates and amounts are written', shown),
    timeZone: timeZoneField(ledger.timeZone),
    measures: choice('the units of lengths, volumes and weights', ['metric', 'imperial']),
    degrees: choice('the degrees of temperatures', ['C', 'F']),
    clock: choice('how hours of the day are written', ['24', '12']),
    latitude: optionalDecimal('the latitude', -90, 90, '°'),
    ...rules,
  }).transform(
    ({ currency, locale, timeZone, measures, degrees, clock, latitude, ...ticked }): SettingsValue => ({
      currency,
      locale,
      timeZone,
      unitSystem: unitSystemOf(measures, degrees),
      clockHours: clock === '12' ? 12 : 24,
      latitude,
      ruleSets: chosenRuleSets.filter((one) => (ticked as Record<string, boolean>)[ruleField(one)] === true),
    }),
  );
}

/** A currency by its three letters (ISO 4217). */
export function currencyField() {
  return fieldReadBy(readCurrency);
}

function readCurrency(typed: string): ReadText<Currency> {
  const code = typed.trim().toUpperCase();
  const currency = Intl.supportedValuesOf('currency').includes(code) ? currencyOf(code) : null;
  return currency === null
    ? { status: 'bad', message: moneySentences.currencyCode }
    : { status: 'ok', value: currency };
}

/** A time zone of those that `timeZones` offers. */
export function timeZoneField(present: string) {
  return choice(
    'the time zone',
    timeZones(present).map((one) => one.value),
  );
}

/** Every time zone there is, as answers of a list; one that is kept and no longer known stays on it. */
export function timeZones(present: string): Answer[] {
  const all = ['UTC', ...Intl.supportedValuesOf('timeZone').filter((one) => one !== 'UTC')];
  return withPresent(
    all.map((value) => ({ value, label: value.replaceAll('_', ' ') })),
    present,
  );
}

function withPresent(answers: readonly Answer[], present: string): Answer[] {
  const listed = answers.some((one) => one.value === present);
  return listed ? [...answers] : [...answers, { value: present, label: present }];
}
