// How an enclosure is drawn: a front section and a plan to scale, with numbered lines of equal UVI and hatched shade, in units of a drawing
// 360 wide. The only file that turns millimetres of a box into places of a drawing.

import { contours } from 'd3-contour';
import type { Fitting } from '../src/collection.ts';
import { HEATERS, UV_LAMPS } from '../src/collection.ts';
import type { LightScene } from '../src/light-scene.ts';
import type { LightField } from '../src/lit-places.ts';
import { planField, sectionField, sectionShade } from '../src/lit-places.ts';
import type { LitBox } from '../src/placed-things.ts';
import type { UnitSystem } from '../src/units.ts';
import { formatQuantity } from '../src/units.ts';

/** A drawing as views/partials/enclosure-drawing.hbs lays it out; every length is text already. */
export type EnclosureDrawing = {
  id: string;
  title: string;
  description: string;
  caption: string;
  viewBox: string;
  outline: { x: string; y: string; width: string; height: string };
  /** What no lamp reaches, as one hatched path; null when there is none. */
  shade: string | null;
  paths: { kind: string; path: string }[];
  dots: { kind: string; x: string; y: string; r: string }[];
  labels: { kind: string; x: string; y: string; anchor: 'start' | 'middle' | 'end'; text: string }[];
};

/** What is drawn: the things that have a place, each with its number, and the light where it is known. */
export type Drawn = {
  box: LitBox;
  /** `planned` is a thing that is only tried, and not owned. */
  things: { fitting: Fitting; number: number; planned: boolean }[];
  scene: LightScene | null;
  system: UnitSystem;
};

const WIDTH = 360;
const TALLEST = 300;
const SIDE = 14;
const BELOW = 28;
// Lines of UVI, fixed so that two drawings can be compared.
const LEVELS = [0.2, 0.5, 1, 2, 3, 4, 5, 7, 10, 15, 20];
// A shorter line has no room for its number, and crowded round a lamp it says nothing.
const SHORTEST = 40;
const LABEL_GAP = 28;
// Where along its line a number is tried, and how far from the walls it stays.
const LABEL_TRIES = [0.5, 0.3, 0.7, 0.2, 0.8, 0.4, 0.6, 0.1, 0.9];
const FROM_WALL = 10;
// Lines this thin are crossed by a number that is written on them.
const THIN = 10;
// Darker counts as this dark.
const DARKEST = 0.02;

const write = (length: number) => length.toFixed(1);

type Frame = { x: (mm: number) => number; y: (mm: number) => number; scale: number };
type Flat = { fromX: number; toX: number; from: number; to: number };

/** Depth from the front, in mm, at which a section shows most: through the basking place, else through the first thing there is. */
export function depthOfCut({ box, things }: Pick<Drawn, 'box' | 'things'>): number {
  const through = things.find(({ fitting }) => fitting.kind === 'basking-place') ?? things[0];
  return through?.fitting.placed?.yMm ?? box.depthMm / 2;
}

/** The upright section at a depth from the front (`cutMm`), seen from the front. */
export function drawSection({ box, things, scene, system }: Drawn, cutMm: number): EnclosureDrawing {
  const highest = Math.max(box.heightMm, ...things.map(({ fitting }) => fitting.placed!.zMm));
  const { frame, rest } = framed(box.lengthMm, box.heightMm, highest, system);
  const paths: EnclosureDrawing['paths'] = [];
  const across = (from: number, to: number, level: number) =>
    `M${write(frame.x(from))} ${write(frame.y(level))}H${write(frame.x(to))}`;
  if (box.top === 'mesh') paths.push({ kind: 'mesh-top', path: across(0, box.lengthMm, box.heightMm) });
  const field = scene === null ? null : sectionField(scene, cutMm, stepFor(box.lengthMm, box.heightMm));
  const cutSolids = (scene?.solids ?? []).filter((one) => one.fromY <= cutMm && cutMm <= one.toY);
  const solids = cutSolids.map(({ fromX, toX, fromZ, toZ }) => ({ fromX, toX, from: fromZ, to: toZ }));
  const lines = field === null ? [] : linesOf(field, frame, box.lengthMm, box.heightMm, solids);
  const drawn = drawThings(things, frame, 'section', (fitting) => {
    const { zMm, heightMm, yMm, depthMm } = fitting.placed!;
    const isCut = Math.abs(yMm - cutMm) <= (depthMm ?? 0) / 2;
    return { from: zMm, to: zMm + (heightMm ?? 0), isCut };
  });
  const isBehind = drawn.paths.some((one) => one.kind.includes('thing-behind'));
  const reached = [
    across(0, box.lengthMm, 0),
    ...things
      .filter(({ fitting }) => SURFACES.has(fitting.kind))
      .map(({ fitting }) => {
        const { fromX, toX } = spanOf(fitting);
        return across(fromX, toX, fitting.placed!.zMm + (fitting.placed!.heightMm ?? 0));
      }),
  ];
  const cut = formatQuantity(cutMm, 'length', system);
  const shade = scene === null ? null : shadeOf(scene, cutMm, frame, box);
  return {
    ...rest,
    id: 'light-section',
    title: 'Front section',
    description: description(things, lines, `Seen from the front, cut ${cut} from the front`),
    caption: `Front section, cut ${cut} from the front.${lines.length === 0 ? '' : ' Numbered lines: UV index with new lamps.'}${shade === null ? '' : ' Hatched: no lamp reaches.'} Thick: where the animal can lie.${isBehind ? ' Dotted: what stands before or behind the cut.' : ''}`,
    shade,
    paths: [...paths, ...lines.map(({ path }) => ({ kind: 'contour', path })), ...drawn.paths].concat(
      reached.map((path) => ({ kind: 'surface-reached', path })),
    ),
    dots: drawn.dots,
    labels: [
      ...rest.labels,
      ...labelsOf(lines, drawn, frame, { acrossMm: box.lengthMm, upMm: box.heightMm }),
      ...drawn.labels,
    ],
  };
}

/** The plan at a height above the floor (`levelMm`), the front below. */
export function drawPlan({ box, things, scene, system }: Drawn, levelMm: number): EnclosureDrawing {
  const { frame, rest } = framed(box.lengthMm, box.depthMm, box.depthMm, system);
  const field = scene === null ? null : planField(scene, levelMm, stepFor(box.lengthMm, box.depthMm));
  const cutSolids = (scene?.solids ?? []).filter((one) => one.fromZ <= levelMm && levelMm <= one.toZ);
  const solids = cutSolids.map(({ fromX, toX, fromY, toY }) => ({ fromX, toX, from: fromY, to: toY }));
  const lines = field === null ? [] : linesOf(field, frame, box.lengthMm, box.depthMm, solids);
  const drawn = drawThings(things, frame, 'plan', (fitting) => {
    const { yMm } = fitting.placed!;
    const deep = fitting.placed!.turned && isTube(fitting) ? (fitting.lamp?.litLengthMm ?? 0) : fitting.placed!.depthMm;
    return { from: yMm - (deep ?? 0) / 2, to: yMm + (deep ?? 0) / 2, isCut: true };
  });
  const level = formatQuantity(levelMm, 'length', system);
  return {
    ...rest,
    id: 'light-plan',
    title: 'Plan',
    description: description(things, lines, `Seen from above, with the UV index at a height of ${level}`),
    caption: `Plan, the front below. Numbered lines: UV index with new lamps, at a height of ${level}.`,
    shade: null,
    paths: [
      ...lines.map(({ path }) => ({ kind: 'contour', path })),
      ...drawn.paths.map((one) => ({ ...one, kind: one.kind.replace('thing surface', 'thing surface-reached') })),
    ],
    dots: drawn.dots,
    labels: [
      ...rest.labels,
      ...labelsOf(lines, drawn, frame, { acrossMm: box.lengthMm, upMm: box.depthMm }),
      ...drawn.labels,
    ],
  };
}

const SURFACES: ReadonlySet<Fitting['kind']> = new Set(['basking-place', 'shelf', 'hide', 'moist-hide', 'perch']);

const isTube = (fitting: Fitting) => fitting.kind === 'uv-tube';

function spanOf(fitting: Fitting): { fromX: number; toX: number } {
  const { xMm, lengthMm, turned } = fitting.placed!;
  const wide = isTube(fitting) ? (turned ? 0 : (fitting.lamp?.litLengthMm ?? 0)) : (lengthMm ?? 0);
  return { fromX: xMm - wide / 2, toX: xMm + wide / 2 };
}

// The frame of a view of a box, as wide as fits, its outline and its two inside measures.
function framed(acrossMm: number, upMm: number, highestMm: number, system: UnitSystem) {
  const scale = Math.min((WIDTH - SIDE - 62) / acrossMm, TALLEST / highestMm);
  const top = SIDE + (highestMm - upMm) * scale;
  // A box that is narrow for its height stands in the middle, so that letters are of one size in all drawings.
  const left = Math.max(SIDE, (WIDTH - acrossMm * scale) / 2 - 20);
  const bottom = top + upMm * scale;
  const frame: Frame = { x: (mm) => left + mm * scale, y: (mm) => bottom - mm * scale, scale };
  const labels: EnclosureDrawing['labels'] = [
    {
      kind: 'chart-text',
      x: write(frame.x(acrossMm / 2)),
      y: write(bottom + 18),
      anchor: 'middle',
      text: formatQuantity(acrossMm, 'length', system),
    },
    {
      kind: 'chart-text',
      x: write(frame.x(acrossMm) + 5),
      y: write(frame.y(upMm / 2)),
      anchor: 'start',
      text: formatQuantity(upMm, 'length', system),
    },
  ];
  return {
    frame,
    rest: {
      viewBox: `0 0 ${WIDTH} ${write(bottom + BELOW)}`,
      outline: { x: write(left), y: write(top), width: write(acrossMm * scale), height: write(upMm * scale) },
      labels,
    },
  };
}

// Nodes close enough that a line is smooth, and few enough that a page is quick.
function stepFor(acrossMm: number, upMm: number): number {
  return Math.max(4, Math.max(acrossMm, upMm) / 48);
}

type Line = { level: number; path: string; points: [number, number][] };

// Lines of equal value, cut where they would only follow the edge of the grid, leave the box, or follow the sides of a solid, inside which
// there is no light: between a node beside it and one within, a line tells of the grid only.
function linesOf(field: LightField, frame: Frame, acrossMm: number, upMm: number, solids: readonly Flat[]): Line[] {
  const { width, height, stepMm, values } = field;
  const draw = contours().size([width, height]);
  // Between two nodes light falls by a share rather than by a sum, so the lines are found among logarithms.
  const grid = Array.from(values, (value) => Math.log(Math.max(value, DARKEST)));
  const most = grid.reduce((a, b) => Math.max(a, b), Math.log(DARKEST));
  return LEVELS.filter((level) => Math.log(level) < most).flatMap((level): Line[] =>
    draw.contour(grid, Math.log(level)).coordinates.flatMap((polygon) =>
      polygon.flatMap((ring) =>
        partsOf(ring as [number, number][], ([column, row]) => {
          // A value stands in the middle of its cell.
          const [mmX, mmY] = [(column - 0.5) * stepMm, (row - 0.5) * stepMm];
          const onEdge = column <= 0 || row <= 0 || column >= width || row >= height;
          const bySolid = solids.some(
            ({ fromX, toX, from, to }) =>
              mmX > fromX - stepMm && mmX < toX + stepMm && mmY > from - stepMm && mmY < to + stepMm,
          );
          return onEdge || bySolid || mmX > acrossMm || mmY > upMm ? null : [frame.x(mmX), frame.y(mmY)];
        }).flatMap((points): Line[] =>
          lengthOf(points) < SHORTEST
            ? []
            : [{ level, points, path: `M${points.map(([x, y]) => `${write(x)} ${write(y)}`).join('L')}` }],
        ),
      ),
    ),
  );
}

// The stretches of a closed ring whose points are drawn.
function partsOf(
  ring: [number, number][],
  place: (point: [number, number]) => [number, number] | null,
): [number, number][][] {
  const placed = ring.slice(0, -1).map(place);
  const gap = placed.indexOf(null);
  if (gap === -1) return [[...placed, placed[0]!] as [number, number][]];
  const parts: [number, number][][] = [];
  let part: [number, number][] = [];
  for (let index = 1; index <= placed.length; index++) {
    const point = placed[(gap + index) % placed.length]!;
    if (point !== null) part.push(point);
    else {
      if (part.length > 1) parts.push(part);
      part = [];
    }
  }
  return parts;
}

function lengthOf(points: [number, number][]): number {
  let length = 0;
  for (let index = 1; index < points.length; index++) {
    length += Math.hypot(points[index]![0] - points[index - 1]![0], points[index]![1] - points[index - 1]![1]);
  }
  return length;
}

// One number on each line, where it stands clear of the others, of the walls and of what numbers the things.
function labelsOf(
  lines: Line[],
  drawn: { taken: readonly Extent[] },
  frame: Frame,
  { acrossMm, upMm }: { acrossMm: number; upMm: number },
): EnclosureDrawing['labels'] {
  const taken: [number, number][] = [];
  const [left, right, bottom, top] = [frame.x(0), frame.x(acrossMm), frame.y(0), frame.y(upMm)];
  return lines.flatMap(({ level, points }) => {
    const text = String(level);
    const tries = LABEL_TRIES.map((part) => points[Math.round(part * (points.length - 1))]!);
    const free = tries.find(
      ([x, y]) =>
        x - left >= FROM_WALL &&
        right - x >= FROM_WALL &&
        bottom - y >= FROM_WALL &&
        y - top >= FROM_WALL &&
        taken.every(([a, b]) => Math.hypot(a - x, b - y) >= LABEL_GAP) &&
        drawn.taken.every((one) => !overlap(one, boxOf(x, y, 'middle', text))),
    );
    if (free === undefined) return [];
    taken.push(free);
    const [x, y] = free;
    return [{ kind: 'contour-text', x: write(x), y: write(y), anchor: 'middle' as const, text }];
  });
}

type Spot = { x: number; y: number; anchor: 'start' | 'end' };

type Extent = { fromX: number; toX: number; fromY: number; toY: number };

// What a text of 13.5 units takes up, centred in height; a character is about 8 units wide.
function boxOf(x: number, y: number, anchor: EnclosureDrawing['labels'][number]['anchor'], text: string): Extent {
  const wide = 8 * text.length;
  const fromX = anchor === 'start' ? x : anchor === 'end' ? x - wide : x - wide / 2;
  return { fromX, toX: fromX + wide, fromY: y - 7, toY: y + 7 };
}

function around(x: number, y: number, by: number): Extent {
  return { fromX: x - by, toX: x + by, fromY: y - by, toY: y + by };
}

function overlap(a: Extent, b: Extent): boolean {
  return a.fromX < b.toX && b.fromX < a.toX && a.fromY < b.toY && b.fromY < a.toY;
}

// Runs of nodes that see no lamp, as rectangles half a step to each side.
function shadeOf(scene: LightScene, cutMm: number, frame: Frame, box: LitBox): string | null {
  if (scene.fresh.length === 0) return null;
  const stepMm = stepFor(box.lengthMm, box.heightMm);
  const { width, height, values } = sectionShade(scene, cutMm, stepMm);
  const within = (mm: number, most: number) => Math.min(most, Math.max(0, mm));
  const parts: string[] = [];
  for (let row = 0; row < height; row++) {
    let column = 0;
    while (column < width) {
      const from = column;
      while (column < width && values[row * width + column] === 2) column++;
      if (column > from) {
        const [left, right] = [(from - 0.5) * stepMm, (column - 0.5) * stepMm].map((mm) => within(mm, box.lengthMm));
        const [low, high] = [(row - 0.5) * stepMm, (row + 0.5) * stepMm].map((mm) => within(mm, box.heightMm));
        parts.push(
          `M${write(frame.x(left!))} ${write(frame.y(low!))}H${write(frame.x(right!))}V${write(frame.y(high!))}H${write(frame.x(left!))}Z`,
        );
      }
      column++;
    }
  }
  return parts.length === 0 ? null : parts.join('');
}

function drawThings(
  things: Drawn['things'],
  frame: Frame,
  view: 'section' | 'plan',
  upOf: (fitting: Fitting) => { from: number; to: number; isCut: boolean },
) {
  const paths: EnclosureDrawing['paths'] = [];
  const dots: EnclosureDrawing['dots'] = [];
  const labels: EnclosureDrawing['labels'] = [];
  // What a number may not be written on: thin things, points, and the numbers before it.
  const taken: Extent[] = things.flatMap(({ fitting }) => {
    const { from, to } = upOf(fitting);
    const { fromX, toX } = spanOf(fitting);
    const [left, right, low, high] = [frame.x(fromX), frame.x(toX), frame.y(from), frame.y(to)];
    if (right === left && high === low) return [around(left, low, 7)];
    const thin = right - left < THIN || low - high < THIN;
    return thin ? [{ fromX: left - 2, toX: right + 2, fromY: high - 2, toY: low + 2 }] : [];
  });
  for (const { fitting, number, planned } of things) {
    const { from, to, isCut } = upOf(fitting);
    const { fromX, toX } = spanOf(fitting);
    const flat: Flat = { fromX, toX, from, to };
    const hasSize = toX - fromX > 0 || to - from > 0;
    const ownForm = view === 'section' ? (hasSize ? FORMS[fitting.kind] : undefined) : undefined;
    const isLamp = UV_LAMPS.has(fitting.kind);
    const kind = isLamp
      ? planned
        ? 'lamp lamp-planned'
        : 'lamp'
      : HEATERS.has(fitting.kind)
        ? 'thing heat-place'
        : isCut || view === 'plan'
          ? fitting.kind === 'basking-place'
            ? 'thing surface basking'
            : 'thing surface'
          : 'thing thing-behind';
    if (ownForm !== undefined) {
      const [left, right, low, high] = [frame.x(fromX), frame.x(toX), frame.y(from), frame.y(to)];
      const { outline, detail } = ownForm(left, right, low, high);
      paths.push({ kind, path: outline });
      if (detail !== null) paths.push({ kind: isCut ? detail.kind : 'thing-line thing-behind', path: detail.path });
    } else if (hasSize) paths.push({ kind, path: outlineOf(flat, frame) });
    else if (view === 'section' && fitting.kind === 'basking-lamp')
      paths.push(...hangingLamp(frame.x(fitting.placed!.xMm), frame.y(from)));
    else
      dots.push({
        kind: isLamp
          ? planned
            ? 'lamp-point lamp-planned'
            : 'lamp-point'
          : HEATERS.has(fitting.kind)
            ? 'heat-place'
            : 'thing',
        x: write(frame.x(fitting.placed!.xMm)),
        y: write(frame.y(from)),
        r: isLamp ? '5' : '7',
      });
    const text = planned ? `(${number}) on trial` : `(${number})`;
    const isDot = toX - fromX <= 0 && to - from <= 0;
    const [x, y] = [frame.x(toX), frame.y(to)];
    const ends: Spot[] = isDot
      ? [
          { x: x - 10, y: y + 10, anchor: 'end' },
          { x: x - 10, y: y - 8, anchor: 'end' },
          { x: x + 10, y: y - 8, anchor: 'start' },
          { x: x + 10, y: y + 10, anchor: 'start' },
          { x: x - 10, y, anchor: 'end' },
          { x: x + 10, y, anchor: 'start' },
        ]
      : [
          { x: x - 4, y: y + 12, anchor: 'end' },
          { x: x - 4, y: y - 10, anchor: 'end' },
          { x: frame.x(fromX) + 4, y: y - 10, anchor: 'start' },
          { x: frame.x(fromX) + 4, y: y + 12, anchor: 'start' },
        ];
    const spots = isLamp ? [...ends.slice(1), ends[0]!] : ends;
    const spot =
      spots.find((one) => taken.every((each) => !overlap(each, boxOf(one.x, one.y, one.anchor, text)))) ?? spots[0]!;
    taken.push(boxOf(spot.x, spot.y, spot.anchor, text));
    labels.push({ kind: 'thing-number', x: write(spot.x), y: write(spot.y), anchor: spot.anchor, text });
  }
  return { paths, dots, labels, taken };
}

type Form = (
  left: number,
  right: number,
  low: number,
  high: number,
) => { outline: string; detail: { kind: 'thing-line' | 'thing-mouth'; path: string } | null };

const at = (x: number, y: number) => `${write(x)} ${write(y)}`;

// A dark way in, low at the left, where it leaves room for a number.
const cave: Form = (left, right, low, high) => {
  const [wide, tall] = [right - left, low - high];
  const [from, to, top] = [left + wide * 0.16, left + wide * 0.46, low - tall * 0.62];
  const shoulder = low - tall * 0.3;
  return {
    outline: `M${at(left, low)}V${write(high)}H${write(right)}V${write(low)}Z`,
    detail: {
      kind: 'thing-mouth',
      path: `M${at(from, low)}V${write(shoulder)}Q${at(from, top)} ${at((from + to) / 2, top)}Q${at(to, top)} ${at(to, shoulder)}V${write(low)}Z`,
    },
  };
};

// Its water stands a little below the rim.
const bowl: Form = (left, right, low, high) => {
  const [wide, water] = [right - left, high + (low - high) * 0.3];
  return {
    outline: `M${at(left, high)}Q${at(left, low)} ${at(left + wide * 0.2, low)}H${write(right - wide * 0.2)}Q${at(right, low)} ${at(right, high)}Z`,
    detail: {
      kind: 'thing-line',
      path: `M${at(left + wide * 0.06, water)}q${at(wide * 0.11, 3)} ${at(wide * 0.22, 0)}t${at(wide * 0.22, 0)}t${at(wide * 0.22, 0)}t${at(wide * 0.22, 0)}`,
    },
  };
};

// Things that are known by their form from the front; whatever else has a size is a plain rectangle. Each stays within its own.
const FORMS: Readonly<Partial<Record<Fitting['kind'], Form>>> = {
  hide: cave,
  'moist-hide': cave,
  'water-dish': bowl,
  pool: bowl,
  // A stone with a level back and a cleft.
  'basking-place': (left, right, low, high) => {
    const [wide, tall] = [right - left, low - high];
    return {
      outline: `M${at(left, high)}H${write(right)}L${at(right - wide * 0.04, high + tall * 0.45)}L${at(right - wide * 0.01, low)}H${write(left + wide * 0.03)}L${at(left + wide * 0.02, high + tall * 0.6)}Z`,
      detail: {
        kind: 'thing-line',
        path: `M${at(left + wide * 0.18, low)}l${at(wide * 0.05, -tall * 0.35)}l${at(wide * 0.16, -tall * 0.1)}`,
      },
    };
  },
  // Leaves from one root.
  plants: (left, right, low, high) => {
    const [middle, tall] = [(left + right) / 2, low - high];
    const leaf = (tip: number, up: number) => {
      const [x, y] = [middle + tip * (right - left), low - up * tall];
      const [midX, midY] = [(middle + x) / 2, (low + y) / 2];
      const belly = Math.min(7, (right - left) * 0.12);
      return `M${at(middle, low)}Q${at(midX - belly, midY - belly)} ${at(x, y)}Q${at(midX + belly, midY + belly)} ${at(middle, low)}Z`;
    };
    return {
      outline: [leaf(-0.48, 0.6), leaf(-0.24, 0.92), leaf(0.02, 1), leaf(0.28, 0.85), leaf(0.48, 0.5)].join(''),
      detail: null,
    };
  },
  // A bough with twigs to both sides.
  branches: (left, right, low, high) => {
    const [wide, tall] = [right - left, low - high];
    const on = (along: number, up: number) => at(left + along * wide, low - up * tall);
    return {
      outline: `M${on(0, 0)}L${on(0.35, 0.4)}L${on(1, 1)}M${on(0.35, 0.4)}L${on(0.3, 0.95)}M${on(0.6, 0.62)}L${on(0.95, 0.35)}`,
      detail: null,
    };
  },
};

// A lamp for warmth hangs by its cord: its hood above the point that is its face, the bulb below.
function hangingLamp(x: number, y: number): EnclosureDrawing['paths'] {
  return [
    { kind: 'lamp-hood', path: `M${at(x - 8, y)}a8 8 0 0 1 16 0ZM${at(x - 1, y - 7)}v-5h2v5Z` },
    { kind: 'lamp-bulb', path: `M${at(x - 5, y + 1)}a5 5 0 0 0 10 0Z` },
  ];
}

function outlineOf({ fromX, toX, from, to }: Flat, { x, y }: Frame): string {
  const [left, right, low, high] = [x(fromX), x(toX), y(from), y(to)].map(write);
  if (from === to) return `M${left} ${low}H${right}`;
  return fromX === toX ? `M${left} ${low}V${high}` : `M${left} ${low}H${right}V${high}H${left}Z`;
}

function description(things: Drawn['things'], lines: Line[], view: string): string {
  const levels = [...new Set(lines.map((one) => one.level))];
  const what =
    things.length === 0 ? 'nothing is placed' : `${things.length} things are placed, numbered as in the list`;
  const light =
    levels.length === 0
      ? 'no line of UV index is drawn'
      : `lines of UV index from ${levels[0]} to ${levels[levels.length - 1]}`;
  return `${view}; ${what}; ${light}. The table holds the figures.`;
}
