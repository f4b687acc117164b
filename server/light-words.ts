// Every sentence about the light of an enclosure, made from the reasons of lit-places.ts and light.ts. Says nothing about what a species needs.

import type { FittingKind, OutputOrigin, Reflector } from '../src/collection.ts';
import type { ClassFit, Hanging } from '../src/lamp-hanging.ts';
import type { ErrorTerm, OutputMistake } from '../src/light.ts';
import type { LightAssumption, LightFinding, LightLack } from '../src/light-scene.ts';
import type { Retreat } from '../src/lit-places.ts';
import type { LightProblem } from '../src/placed-things.ts';
import type { UvZone } from '../src/species.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatQuantity, formatSpan } from '../src/units.ts';
import { zoneWords } from './kind-words.ts';
import { ownReadingsWords } from './score-words.ts';
import { listed } from './words.ts';

/** How names and lengths are written in the sentences. */
export type LightSpeech = { nameOf: (fittingId: string) => string; system: UnitSystem };

/** A UV index as it is written everywhere. */
export function uviText(uvi: number): string {
  return formatQuantity(uvi, 'uv-index', 'metric');
}

/** A share (0 to 1) in whole percent; what is there but rounds to none is said so. */
export function shareText(share: number): string {
  const percent = Math.round(100 * share);
  return share > 0 && percent === 0 ? 'under 1 %' : `${percent} %`;
}

const along = { length: 'left or right wall', depth: 'front or back', height: 'floor or top' } as const;

/** What is wrong with a lamp's figures, and what to do. */
export const outputMistakes: Readonly<Record<OutputMistake, string>> = {
  'lit-length-not-above-zero': 'Give the lit length of the tube as more than 0.',
  'distance-not-above-zero': 'Give each distance of the lamp’s figures as more than 0.',
  'uvi-not-above-zero': 'Give each UV index of the lamp’s figures as more than 0.',
  'farther-reads-higher':
    'Check the lamp’s figures: farther away it cannot give more. One of the distances or readings is mistaken.',
  'beam-below-zero': 'The lamp’s spread to the side cannot be below 0.',
};

/** Where a lamp's figures come from, as the answers of a form. */
export const originNames: Readonly<Record<OutputOrigin, string>> = {
  class: 'Its class, not this lamp',
  'own-reading': 'My own meter',
  'maker-chart': 'Its maker’s chart of distances',
  packaging: 'Its packaging',
};

/** Whether a reflector stands behind a lamp, as the answers of a form. */
export const reflectorNames: Readonly<Record<Reflector, string>> = {
  with: 'Yes',
  without: 'No, it is bare',
  unknown: 'Not known',
};

/** What the fields of a lamp say of themselves. */
export const lampFieldSentences = {
  origin: 'A meter held under the lamp tells most, its packaging least.',
  originOfCompact:
    'A compact lamp’s packaging does not tell what reaches an animal: its UV stays unknown until a meter is held under it.',
  uvi: 'Straight below its middle, bare unless you say below that it was through the mesh. Leave it empty if you have no figure.',
  datumOfTube:
    'From the middle of the tube itself to where you, or the chart, measured from, such as the edge of its reflector. Empty: from the tube itself. The distance to the basking place begins there too.',
  datumOfPoint:
    'From the face of the lamp to where you, or the chart, measured from, such as its guard. Empty: from its face. The distance to the basking place begins there too.',
  throughMesh: 'A reading through the mesh holds it already: when this is ticked, the mesh is not taken off once more.',
  more: 'Further points of the chart, or further readings, straight below its middle.',
  beam: 'As the exponent of a cosine: 0 like a bare tube, 1 like a flat panel, more for a spot. Empty: as is usual for its kind.',
  alone: 'Fill in the UV index of the lamp and its distance, or leave the other figures empty: alone they say nothing.',
} as const;

/** A mistake in what was entered, as what to mend. */
export function problemSentence(one: LightProblem, { nameOf, system }: LightSpeech): string {
  const mm = (length: number) => formatQuantity(length, 'length', system);
  switch (one.problem) {
    case 'box-without-size':
      return 'Enter inside measures of more than 0 for the enclosure.';
    case 'not-a-number':
      return `The place of “${nameOf(one.fittingId)}” is not a number: enter it anew.`;
    case 'outside-box':
      return `“${nameOf(one.fittingId)}” stands ${mm(one.overMm)} out of the box at the ${along[one.along]}: correct its place or size.`;
    case 'without-size':
      return `Give “${nameOf(one.fittingId)}” a length, a depth and a height above 0: it casts shade.`;
    case 'output':
      return `“${nameOf(one.fittingId)}”: ${outputMistakes[one.mistake]}`;
    case 'mesh-share':
      return `Correct what is between “${nameOf(one.fittingId)}” and the animal: it passes between nothing and everything.`;
    case 'lamp-inside-solid':
      return `“${nameOf(one.fittingId)}” lies inside “${nameOf(one.solidId)}”: correct the place of one of them.`;
    case 'no-distance':
      return `“${nameOf(one.fittingId)}” touches “${nameOf(one.placeId)}”, at no distance: correct the height of one of them.`;
    case 'lamp-not-above':
      return `No UV lamp hangs above “${nameOf(one.placeId)}”: correct the height of the lamp or of the place.`;
  }
}

/** What must be entered of a lamp first. */
export function lackSentence({ fittingId, lacks }: LightLack, { nameOf }: LightSpeech): string {
  switch (lacks) {
    case 'position':
      return `Say where “${nameOf(fittingId)}” hangs.`;
    case 'output':
      return `Enter a UV index and its distance for “${nameOf(fittingId)}”: without a figure nothing can be computed.`;
    case 'between':
      return `Look what is between “${nameOf(fittingId)}” and the animal, mesh, glass or nothing, and enter it; or hold a UV meter at the basking place and enter the reading.`;
    case 'believable-output':
      return `The packaging of “${nameOf(fittingId)}” does not tell what reaches an animal: hold a UV meter at the basking place and enter the reading.`;
  }
}

const whyContradicted: Readonly<Record<(LightFinding & { finding: 'reading-contradicts-model' })['why'], string>> = {
  'above-what-new-bare-lamps-give': 'new, bare lamps of these figures could not give that much',
  'output-from-packaging': 'the figures of a lamp come from its packaging',
  'output-of-a-class': 'the figures are those of a class of lamps, not of this one',
  'place-in-shade': 'as things are placed the place lies in shade, and yet something was read',
  'place-partly-in-shade': 'as things are placed something shades the place in part',
  'nothing-arrives': 'nothing was read where something should arrive: the lamp may be off or the meter covered',
  'both-were-read': 'both rest on readings',
};
const doubted = {
  reading: 'Doubted is the reading',
  model: 'Doubted is what is computed',
  either: 'Either may be wrong',
} as const;

/** Something a keeper should know about the figures. */
export function findingSentence(one: LightFinding, { nameOf, system }: LightSpeech): string {
  const mm = (length: number) => formatQuantity(length, 'length', system);
  switch (one.finding) {
    case 'reading-contradicts-model': {
      const { low, likely, high } = one.model;
      return `At “${nameOf(one.placeId)}” UVI ${uviText(one.reading)} was read, but ${uviText(likely)} (${uviText(low)} to ${uviText(high)}) is computed. ${doubted[one.doubted]}: ${whyContradicted[one.why]}. The reading is used; read again, and check distances and places.`;
    }
    case 'reading-without-place':
      return 'A UV index was read at the basking place, but no basking place stands in the drawing: place it, so that the reading counts.';
    case 'reading-older-than-lamp':
      return `The reading was taken before “${nameOf(one.lampId)}” was fitted and is not used: read again.`;
    case 'past-life':
      return `“${nameOf(one.lampId)}” is past its life of ${one.lifeMonths} months. It is shown as at the end of its life; it may give anything from that down to nothing: read it, or renew it.`;
    case 'lamp-above-closed-top':
      return `“${nameOf(one.lampId)}” hangs above a closed top. Glass and acrylic are credited with no UV-B at all.`;
    case 'mesh-not-counted':
      return `“${nameOf(one.lampId)}” shines through the mesh top, but nothing is said to be between it and the animal: choose the mesh, or say that its figures were taken through it.`;
    case 'too-near':
      return `“${nameOf(one.placeId)}” lies only ${mm(one.distanceMm)} from “${nameOf(one.lampId)}”: too close for basking (common practice, no source).`;
    case 'distance-differs':
      return `For “${nameOf(one.lampId)}” ${mm(one.statedMm)} are written down, but by its place it hangs ${mm(one.placedMm)} over “${nameOf(one.placeId)}”. Its place is used: measure again.`;
  }
}

/** That a lamp's figures are not its own. */
export function classFiguresSentence(name: string): string {
  return `“${name}” has neither a reading taken under it nor its maker’s figures: what it gives is taken from lamps of its class, and single lamps differ. A UV meter held at the basking place says more.`;
}

/** What was assumed rather than known. */
export function lightAssumptionSentence(one: LightAssumption, { nameOf, system }: LightSpeech): string {
  switch (one.assumes) {
    case 'back-height':
      return `The animal’s back is ${formatQuantity(one.mm, 'length', system)} above what it lies on (own assumption).`;
    case 'ageing':
      return `“${nameOf(one.lampId)}” fades to ${shareText(one.endShare)} in ${one.lifeMonths} months (own assumption: no published decay was found).`;
    case 'own-readings':
      return `“${nameOf(one.lampId)}” has no reading of its own: its figures are taken times ${one.factor.toFixed(2)} (± ${shareText(one.error)}), ${ownReadingsWords(one.from)}.`;
    case 'beam':
      return `“${nameOf(one.lampId)}” spreads to the side as is usual for its kind (own assumption).`;
    case 'reflector-unknown':
      return `“${nameOf(one.lampId)}” is taken as bare, because nobody said whether it has a reflector.`;
    case 'class-output':
      return `“${nameOf(one.lampId)}” gives what lamps of its class give; single lamps differ.`;
    case 'packaging-output':
      return `The figures of “${nameOf(one.lampId)}” come from its packaging.`;
    case 'mesh-by-rule':
      return `The mesh under “${nameOf(one.lampId)}” passes the share of a rule of thumb (common practice, no source).`;
    case 'guard-by-rule':
      return `The guard of “${nameOf(one.lampId)}” passes 85 % (common practice, no source).`;
    case 'hides-opaque':
      return 'Hides, shelves and basking places let no UV through; perches cast no shade.';
    case 'walls-dark':
      return 'Walls throw no UV back.';
    case 'no-climbing':
      return 'The animal does not climb on walls, mesh or lamps.';
  }
}

/** What makes a figure uncertain. */
export const errorNames: Readonly<Record<ErrorTerm['of'], string>> = {
  meter: 'the meter',
  'source-model': 'the way the lamp is modelled',
  'chart-scatter': 'scatter of the lamp’s figures',
  datum: 'where distances begin',
  mesh: 'the mesh',
  guard: 'the guard',
  aside: 'lying to the side of the lamp',
  'one-reading': 'knowing the lamp by one figure',
  'own-readings': 'how few of your own readings correct it',
};

/** How far away a lamp should hang. */
export function hangingText(one: Hanging, system: UnitSystem): string {
  switch (one.status) {
    case 'too-weak':
      return `Too weak: at most UVI ${uviText(one.most)} however near it hangs.`;
    case 'too-strong-without-it':
      return `The other lamps alone give UVI ${uviText(one.others)}, more than wanted.`;
    case 'found': {
      const whole = formatSpan(one.nearestMm, one.farthestMm, 'length', system);
      const now = formatQuantity(one.nowMm, 'length', system);
      const old =
        one.farthestAtEndOfLifeMm === null
          ? 'at the end of its life no distance does'
          : `no farther than ${formatQuantity(one.farthestAtEndOfLifeMm, 'length', system)} still holds at the end of its life`;
      const fits =
        one.fits === null
          ? 'This box has no room for that.'
          : `This box has room for ${formatSpan(one.fits.nearestMm, one.fits.farthestMm, 'length', system)}.`;
      return `${whole} (now ${now}); ${old}. ${fits}`;
    }
  }
}

/** Where sources put a species in several zones: whether the range that is named serves all of them. */
export function zonesServedSentence(zones: readonly UvZone[], servesAll: boolean): string {
  return servesAll
    ? `Sources put it in ${zoneWords(zones)}; this one range serves ${new Set(zones).size === 2 ? 'both' : 'all of them'}.`
    : `Sources put it in ${zoneWords(zones)}, which have no UV index in common; the range covers them together.`;
}

/** Whether a class of lamp fits, and why not. */
export function classFitText(one: ClassFit, system: UnitSystem): string {
  if (one.status === 'fits') {
    const old =
      one.farthestAtEndOfLifeMm === null
        ? 'not until the end of its life'
        : `until the end of its life no farther than ${formatQuantity(one.farthestAtEndOfLifeMm, 'length', system)}`;
    return `Fits at ${formatSpan(one.nearestMm, one.farthestMm, 'length', system)}; ${old}.`;
  }
  switch (one.why) {
    case 'output-unknown':
      return 'Cannot be told: nothing believable is known of its output.';
    case 'too-long':
      return 'Does not fit: longer than the box.';
    case 'no-room':
      return 'Does not fit: no room between lamp and animal.';
    case 'too-strong':
      return `Does not fit: as far away as it can hang it still gives UVI ${uviText(one.lowestThere)}.`;
    case 'too-weak':
      return `Does not fit: as near as it may hang it gives only UVI ${uviText(one.highestThere)}.`;
  }
}

/** Whether the animal can leave the UV. */
export function retreatText(one: Retreat, { nameOf }: LightSpeech): string {
  switch (one.status) {
    case 'yes':
      return one.hides.length > 0
        ? `Yes: in ${listed(one.hides.map((id) => `“${nameOf(id)}”`))}${one.surfaceShare > 0 ? `, and on ${shareText(one.surfaceShare)} of what it can reach` : ''}.`
        : `Yes: on ${shareText(one.surfaceShare)} of what it can reach.`;
    case 'unplaced-hide':
      return `Likely, but not shown: say where ${listed(one.hides.map((id) => `“${nameOf(id)}”`))} stands.`;
    case 'no':
      return `No: nowhere does it get less than UVI ${uviText(one.lowest)}. Give it a hide or a shelf to lie under.`;
  }
}

/** What is said of a lamp of the catalogue that is tried in a box before it is bought. */
export const trialSentences = {
  nothingSaved: 'Nothing is saved: the drawing and the figures on this page are those of the trial.',
  noWanted:
    'Who lives here has no UV index in common, or nobody does, so no height can be suggested: it hangs as near as it may.',
  alone: 'A holder and a timer cost extra where there is none.',
  unpriced: 'The prices of the catalogue are in another currency: enter your own.',
  guardHint:
    'A guard lets about 85 % through (common practice, no source). Needed wherever an animal can touch the lamp.',
  outputUnknown:
    'Nothing believable is known of what this lamp gives, so its UV cannot be told before a meter has been held under it.',
  othersAlone: (others: number) =>
    `The lamps that stay give UVI ${uviText(others)} there on their own, more than is right: nothing may be added.`,
  note: 'Tried on the page of its light. The price is that of the lamp alone: add a holder or a timer where there is none.',
  noteWithGuard:
    'Tried on the page of its light. The price is that of the lamp alone: add its guard, and a holder or a timer where there is none.',
  hideComesWith:
    'Nothing in the box is known to be dark. With a lamp and no shade to leave it for, its UV need would be severely short: so a home-made hide at the cool end, of cardboard or cork and free, is part of this trial. Put it in first.',
  hideNeeded:
    'Nothing in the box is known to be dark. With a lamp and no shade to leave it for, its UV need would be severely short: put in cover first, dense plants or a hide that stands damp.',
  betweenUnknown:
    'Nobody looked what is between lamp and animal, so what it gives is not known: look, and choose it above. It hangs here as if nothing were between.',
  unreadable: 'The trial cannot be made as it was asked. Try the lamp again on the page of the light.',
  noneFits: (range: string) =>
    `None of these classes gives at this height what is asked (${range}); the table says of each why.`,
} as const;

/** What is not known of the light before and after a change, so that a figure is not taken for a finding. */
export const previewSentences = {
  unknownNow: (animal: string, reasons: readonly string[]) =>
    `Not known now for ${animal}, and counted as the middle of what it may be: ${reasons.join(' ')}`,
  unknownThen: (animal: string, reasons: readonly string[]) => `Not known then for ${animal}: ${reasons.join(' ')}`,
  knownCloser: (animal: string) =>
    `Part of what ${animal} seems to lose is a guess at the middle that gives way to what is then known: that alone is no harm.`,
} as const;

/** How the highest value stands to a ceiling. */
export const ceilingWords = {
  below: 'below it',
  'too-close-to-tell': 'too close to tell within the error',
  above: 'above it: hang the lamp higher, or bar the way to that place',
} as const;

/** How the height of a thing of a kind is asked. */
export function heightQuestion(kind: FittingKind): string {
  if (kind === 'uv-tube') return 'Height of its axis above the floor';
  return kind === 'uv-compact' || kind === 'basking-lamp'
    ? 'Height of its face above the floor'
    : 'Height of its underside above the floor';
}

/** What is said below a box that is drawn from its front: its things by their numbers, and those of which nobody said where they are. */
export function frontCaption(names: readonly string[], unplaced: readonly string[]): string {
  const drawn = names.map((name, index) => `(${index + 1}) ${name}`).join(', ');
  return `Seen from the front, to scale: ${drawn}.${unplaced.length === 0 ? '' : ` Not drawn, since nobody said where: ${listed(unplaced)}.`}`;
}
