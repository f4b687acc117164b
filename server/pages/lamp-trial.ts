// A lamp of the catalogue tried in an enclosure by the parameters of an address, before it is bought: how they are asked for and read, what
// is said of the trial, and the upgrade it would become. Nothing of it is kept.

import type { PlainDate } from '../../src/calendar.ts';
import type { Collection, Setup } from '../../src/collection.ts';
import { isFitted, setupOf, UV_LAMPS } from '../../src/collection.ts';
import { lightBetween, lightIn } from '../../src/evidence.ts';
import type { TriedLamp } from '../../src/lamp-trial.ts';
import { lampsIn, TRIED_KEY, tryLamp } from '../../src/lamp-trial.ts';
import type { Money } from '../../src/money.ts';
import { costAtRate, formatMoney, noMoney } from '../../src/money.ts';
import type { Part, PartsList } from '../../src/parts.ts';
import type { Proposal } from '../../src/proposals.ts';
import { kwhAMonth } from '../../src/proposals.ts';
import type { Scoring } from '../../src/score.ts';
import type { UvZoneBand } from '../../src/species.ts';
import type { Quantity, UnitSystem } from '../../src/units.ts';
import { formatQuantity, formatSpan, unitName, withMeasuresIn } from '../../src/units.ts';
import type { Upgrade } from '../../src/upgrades.ts';
import { applyUpgrades, paperId } from '../../src/upgrades.ts';
import type { Ledger } from '../db/ledger.ts';
import type { UpgradeFacts } from '../db/upgrades.ts';
import type { FormPageParts } from '../fields.ts';
import { checkboxField, numberField, radioField, selectField } from '../fields.ts';
import type { FormState, Values } from '../forms.ts';
import {
  checkbox,
  choice,
  formOf,
  optionalChoice,
  optionalQuantity,
  parseForm,
  startForm,
  withMistake,
} from '../forms.ts';
import { meshShares, unlookedMesh } from '../kind-words.ts';
import type { LightSpeech } from '../light-words.ts';
import { classFitText, heightQuestion, trialSentences, uviText, zonesServedSentence } from '../light-words.ts';
import { paths } from '../paths.ts';
import { proposalName } from '../proposal-words.ts';
import { listed, percent } from '../words.ts';
import { zonesOf } from './light.view.ts';
import type { LightPreview } from './light-preview.ts';
import { lightPreview, mistakesOfPlace } from './light-preview.ts';

/** What a trial is made in. */
export type AroundTrial = {
  enclosureId: string;
  ledger: Ledger;
  scoring: Scoring;
  parts: PartsList;
};

/** What came of reading an address: no trial asked for, one that cannot be made, or one that was made. */
export type AskedTrial =
  | { status: 'none'; form: FormState }
  | { status: 'bad'; form: FormState }
  | { status: 'tried'; form: FormState; trial: Trial };

/** A trial that was made: the collection as it would be, and the fitting that is not owned in it. */
export type Trial = {
  part: Part;
  tried: TriedLamp;
  after: Collection;
  fittingId: string;
  guarded: boolean;
  values: Values;
};

const NAMES = ['lamp', 'x', 'y', 'z', 'turned', 'guard', 'mesh', 'others'] as const;
const TRIAL_ID = 'trial';
// Without a lamp to tell, the coarser of the usual meshes is taken.
const USUAL_MESH = 0.8;

/** Reads the parameters of an address and tries the lamp that they name. */
export function askedTrial(query: unknown, around: AroundTrial): AskedTrial {
  const { scoring, parts, ledger, enclosureId } = around;
  const setup = setupOf(scoring.collection, enclosureId);
  const asked = (query ?? {}) as Record<string, unknown>;
  const own = Object.fromEntries(NAMES.flatMap((name) => (name in asked ? [[name, asked[name]]] : [])));
  if (own.lamp === undefined) return { status: 'none', form: startForm(firstTexts(setup, scoring.on)) };
  const place = (label: string) => optionalQuantity(label, 'position', ledger.unitSystem);
  const rules = formOf({
    lamp: choice(
      'the lamp',
      lampsIn(parts).map((one) => one.id),
    ),
    x: place('its middle from the left wall'),
    y: place('its middle from the front'),
    z: place('its height above the floor'),
    turned: optionalChoice('how it lies', ['no', 'yes']),
    guard: checkbox('whether it has a guard'),
    mesh: optionalChoice(
      'what is between lamp and animal',
      meshAnswers(setup, scoring.on).map((one) => one.value),
    ),
    others: optionalChoice('the lamps there now', ['out', 'stay']),
  });
  const read = parseForm(rules, own);
  if (read.status === 'bad') return { status: 'bad', form: read };
  const { value } = read;
  const part = lampsIn(parts).find((one) => one.id === value.lamp)!;
  const mm = (quantity: Quantity | null) => quantity?.value ?? null;
  const tried = tryLamp(
    setup,
    {
      part,
      xMm: mm(value.x),
      yMm: mm(value.y),
      zMm: mm(value.z),
      turned: value.turned === null ? null : value.turned === 'yes',
      meshShare: value.mesh === null ? usualMesh(setup, scoring.on) : shareOf(value.mesh),
      guarded: value.guard,
      instead: value.others !== 'stay',
    },
    {
      bands: zonesOf(setup.occupants, scoring.library),
      library: scoring.library,
      parts,
      priced: parts.currency === ledger.currency.code,
      on: scoring.on,
    },
  );
  const upgrade: Upgrade = {
    ...trialUpgrade({ part, tried, guarded: value.guard }, around),
    id: TRIAL_ID,
    status: 'wanted',
    origin: 'own',
    proposalKey: null,
    pinnedMonth: null,
    arrivesMonth: null,
  };
  const after = applyUpgrades(scoring.collection, [upgrade], scoring.on);
  const fittingId = paperId(TRIAL_ID, TRIED_KEY);
  const lighting = lightIn(setupOf(after, enclosureId), scoring.on);
  if (lighting.status === 'cannot') {
    const speech = speechOf(setupOf(after, enclosureId), ledger.unitSystem);
    const form = mistakesOfPlace(lighting.problems, fittingId, speech).reduce(
      (state, one) => withMistake(state, one.field, one.message),
      startForm(read.values),
    );
    if (form.errors.length > 0) return { status: 'bad', form };
  }
  return {
    status: 'tried',
    form: startForm({ ...firstTexts(setup, scoring.on), ...read.values }),
    trial: { part, tried, after, fittingId, guarded: value.guard, values: read.values },
  };
}

/** The upgrade that a trial would become: the lamp alone, at the catalogue's price where that is in the ledger's currency. */
export function trialUpgrade(
  { part, tried, guarded }: Pick<Trial, 'part' | 'tried' | 'guarded'>,
  { ledger, parts }: Pick<AroundTrial, 'ledger' | 'parts'>,
): UpgradeFacts {
  const priced = parts.currency === ledger.currency.code;
  const rate = ledger.coversPower ? ledger.pricePerKwh : null;
  return {
    name: part.name,
    priceLow: priced ? part.priceLow : noMoney,
    priceHigh: priced ? part.priceHigh : noMoney,
    monthlyCost: rate === null ? noMoney : costAtRate(rate, kwhAMonth(tried.changes), ledger.currency),
    lifeMonths: part.lifeMonths,
    renewalPrice: priced && part.lifeMonths !== null ? part.priceHigh : null,
    leadMonths: part.leadMonths,
    earliestMonth: null,
    requires: [],
    group: null,
    proceeds: null,
    changes: tried.changes,
    note: guarded ? trialSentences.noteWithGuard : trialSentences.note,
  };
}

/** The fields by which a trial is asked for. */
export function trialGroups(
  form: FormState,
  { enclosureId, ledger, scoring, parts }: AroundTrial,
): FormPageParts['groups'] {
  const setup = setupOf(scoring.collection, enclosureId);
  const unit = unitName('length', ledger.unitSystem);
  const lamps = lampsThere(setup, scoring.on);
  const hung = (['x', 'y', 'z', 'turned'] as const).some((name) => (form.values[name] ?? '') !== '');
  return [
    {
      legend: null,
      fields: [
        selectField(
          form,
          'lamp',
          'Lamp',
          lampsIn(parts).map((one) => ({ value: one.id, label: withMeasuresIn(one.name, ledger.unitSystem) })),
          { width: 'wide' },
        ),
        ...(lamps.length === 0
          ? []
          : [
              radioField(form, 'others', 'The UV lamps there now', [
                { value: 'out', label: `Come out: ${listed(lamps.map((one) => `“${one.name}”`))}` },
                { value: 'stay', label: 'Stay' },
              ]),
            ]),
        checkboxField(form, 'guard', 'With a guard around it', { hint: trialSentences.guardHint }),
        ...(setup.enclosure.top === 'mesh' || usualMesh(setup, scoring.on) !== 1
          ? [selectField(form, 'mesh', 'Between lamp and animal', meshAnswers(setup, scoring.on))]
          : []),
      ],
    },
    {
      legend: 'Hang it at a place of your own',
      folded: true,
      open: hung,
      fields: [
        numberField(form, 'z', heightQuestion('uv-tube'), {
          hint: `In ${unit} unless you write another unit. Empty: at the height suggested.`,
        }),
        numberField(form, 'x', 'Its middle from the left wall', { hint: 'Empty: over the basking place.' }),
        numberField(form, 'y', 'Its middle from the front', { hint: 'Empty: over the basking place.' }),
        selectField(form, 'turned', 'It lies', [
          { value: '', label: 'As it fits' },
          { value: 'no', label: 'From left to right' },
          { value: 'yes', label: 'From front to back' },
        ]),
      ],
    },
  ];
}

/** What is said of a trial that was made, as views/pages/light.hbs lays it out. */
export type TrialSection = {
  heading: string;
  lines: string[];
  preview: LightPreview;
  links: { href: string; label: string }[];
};

/** The section about a trial. `proposals` are those that stand open, among which one may hold the same lamp. */
export function trialSection(trial: Trial, around: AroundTrial, proposals: readonly Proposal[]): TrialSection {
  const { part, tried, after, values } = trial;
  const { enclosureId, ledger, scoring, parts } = around;
  const { unitSystem: system } = ledger;
  const setup = setupOf(scoring.collection, enclosureId);
  const mm = (length: number) => formatQuantity(length, 'length', system);
  const amount = (sum: Money) => formatMoney(sum, ledger.currency, ledger.locale);
  const out = lampsThere(setup, scoring.on).filter((one) =>
    tried.changes.some((change) => change.change === 'retire' && change.fittingId === one.id),
  );
  const { xMm, yMm, zMm } = tried.placed;
  const over = tried.over === null ? 'the floor' : `“${tried.over.name}”`;
  const compared = lightPreview({ enclosureId, scoring, after, system, locale: ledger.locale });
  const preview = part.lamp == null ? { ...compared, lacks: [trialSentences.outputUnknown] } : compared;
  const same = proposals.filter(
    (one) =>
      one.enclosureId === enclosureId &&
      one.upgrade.changes.some((change) => change.change === 'fit' && change.fitting.name === part.name),
  );
  return {
    heading: `On trial, not owned: ${withMeasuresIn(part.name, system)}`,
    lines: [
      trialSentences.nothingSaved,
      `It hangs ${mm(zMm)} above the floor, ${mm(xMm)} from the left wall and ${mm(yMm)} from the front: ${mm(Math.max(0, tried.distanceMm))} above the back of an animal on ${over}${tried.hoursPerDay === null ? '' : `, switched on ${tried.hoursPerDay} h a day`}.`,
      tried.wanted === null
        ? trialSentences.noWanted
        : `${wantedText(tried, zonesOf(setup.occupants, scoring.library))} ${spanText(tried, system)}`,
      ...darkLines[tried.dark],
      ...betweenLines(setupOf(after, enclosureId), scoring.on),
      ...(out.length === 0 ? [] : [`Taken out in this trial: ${listed(out.map((one) => `“${one.name}”`))}.`]),
      parts.currency === ledger.currency.code
        ? `The lamp alone costs about ${amount(part.priceLow)} to ${amount(part.priceHigh)}. ${trialSentences.alone}`
        : trialSentences.unpriced,
    ],
    preview,
    links: [
      ...same.map((one) => ({
        href: paths.upgrades.newFrom(one.key),
        label: `See the proposal that holds it: ${proposalName(one.act, system)}`,
      })),
      {
        href: paths.upgrades.newFromTrial(enclosureId, values),
        label: 'Enter it as an upgrade, with these figures',
      },
      { href: paths.enclosures.light(enclosureId), label: 'End the trial' },
    ],
  };
}

function wantedText({ wanted }: TriedLamp, zones: readonly UvZoneBand[]): string {
  const several =
    zones.length > 1
      ? ` ${zonesServedSentence(
          zones.map((one) => one.zone),
          true,
        )}`
      : '';
  return `Right for who lives here is UVI ${uviText(wanted!.low)} to ${uviText(wanted!.high)} where it basks.${several}`;
}

function spanText({ fit, hanging, over }: TriedLamp, system: UnitSystem): string {
  if (hanging?.status === 'found' && hanging.fits !== null) {
    const { nearestMm, farthestMm } = hanging.fits;
    const old = hanging.farthestAtEndOfLifeMm;
    const until =
      old === null || old < nearestMm
        ? 'but not until the end of its life'
        : `until the end of its life no farther than ${formatQuantity(Math.min(old, farthestMm), 'length', system)}`;
    return `Over “${over!.name}” this lamp gives that from ${formatSpan(nearestMm, farthestMm, 'length', system)} above the animal’s back, ${until}.`;
  }
  if (hanging?.status === 'too-strong-without-it') return trialSentences.othersAlone(hanging.others);
  return fit === null ? '' : classFitText(fit, system);
}

const darkLines: Readonly<Record<TriedLamp['dark'], string[]>> = {
  there: [],
  'home-made-hide': [trialSentences.hideComesWith],
  'to-be-bought': [trialSentences.hideNeeded],
};

function betweenLines(after: Setup, on: PlainDate): string[] {
  const between = lightBetween(after, on);
  if (between === null) return [];
  const { uvi } = between;
  return [
    `${trialSentences.betweenUnknown}${uvi === null ? '' : ` With nothing between it should give UVI ${uviText(uvi.high)}, under an insect screen ${uviText(uvi.low)}, under glass none.`}`,
  ];
}

function firstTexts(setup: Setup, on: PlainDate): Values {
  return { others: 'out', mesh: textOfShare(usualMesh(setup, on)) };
}

// As under the lamp that hangs there, null where nobody looked; a new lamp comes to hang where that one did.
function usualMesh(setup: Setup, on: PlainDate): number | null {
  const [lamp] = lampsThere(setup, on);
  if (lamp !== undefined) return lamp.meshShare;
  return setup.enclosure.top === 'mesh' ? USUAL_MESH : 1;
}

const textOfShare = (share: number | null) => (share === null ? unlookedMesh.value : String(share));
const shareOf = (text: string) => (text === unlookedMesh.value ? null : Number(text));

function meshAnswers(setup: Setup, on: PlainDate): { value: string; label: string }[] {
  const usual = usualMesh(setup, on);
  const listedThere = usual === null || meshShares.some(({ value }) => Number(value) === usual);
  return [
    ...meshShares,
    unlookedMesh,
    ...(listedThere ? [] : [{ value: String(usual), label: `As under the lamp there: passes ${percent(usual)}` }]),
  ];
}

function lampsThere({ fittings }: Setup, on: PlainDate) {
  return fittings.filter((one) => UV_LAMPS.has(one.kind) && isFitted(one, on));
}

function speechOf({ fittings }: Setup, system: UnitSystem): LightSpeech {
  return { nameOf: (id) => fittings.find((one) => one.id === id)?.name ?? '', system };
}
