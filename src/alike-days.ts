// Which days of a plan judge the set-up of an animal alike: between them nothing in it begins, ends, ages past its life or comes into
// season, and the animal neither grows out of a stage nor, where room is judged, out of its box. What was scored for one holds for all.

import type { PlainDate } from './calendar.ts';
import { ageInMonths, monthOf, monthOfYear } from './calendar.ts';
import { roomTooWarm, warmedByRoom } from './climate-needs.ts';
import type { Animal, Collection } from './collection.ts';
import { setupOf, UV_LAMPS } from './collection.ts';
import { extentOf, lengthOn } from './space.ts';
import type { Need, RuleSet, Targets } from './species.ts';
import type { Upgrade } from './upgrades.ts';

/** An animal that lives somewhere with what is around it, the upgrades that may be fitted there, and the days asked about with the targets that hold on each. */
export type DaysQuestion = {
  animal: Animal;
  around: Collection;
  upgrades: readonly Upgrade[];
  ruleSets: readonly RuleSet[];
  /** The day up to which evidence ages. */
  knownOn: PlainDate;
  days: readonly { on: PlainDate; targets: Targets }[];
};

/**
 * For a need, the place of the first of some days on which it is judged as on each of them, whichever of the upgrades are fitted on the
 * day itself. Days that cannot be told to be alike stand for themselves.
 */
export function alikeDays(question: DaysQuestion): (need: Need) => readonly number[] {
  const { animal, around, upgrades, ruleSets, knownOn, days } = question;
  const dates = [...datesIn(around)];
  const lamps = around.fittings.filter((one) => UV_LAMPS.has(one.kind) && one.lifeMonths !== null);
  const hasRun =
    around.fittings.some((one) => one.outdoors !== null) ||
    upgrades.some(({ changes }) => changes.some((one) => one.change === 'fit' && one.fitting.outdoors !== null));
  const setup = setupOf(around, animal.enclosureId!);
  const keys = days.map(({ on, targets }) => {
    const before = dates.filter((one) => one < on).length;
    const isPast = lamps.some((one) => ageInMonths(one.fittedOn, on) > one.lifeMonths!);
    // How the light of lamps fades, and how vague a reading has become, is told up to the day of knowing.
    const stands = on >= knownOn && !isPast ? '' : on;
    const season = hasRun && targets.outdoors !== null ? monthOfYear(monthOf(on)) : '';
    // A room too warm for the coolest place counts in its months alone.
    const room = roomTooWarm(setup.room, targets, monthOf(on)) === null ? '' : monthOf(on);
    // What no heater warms, the room may in some months.
    const warmed = warmedByRoom(setup.room, targets, monthOf(on));
    return `${before} ${dates.includes(on)} ${stands} ${season} ${room} ${warmed} ${days.findIndex((one) => areSame(one.targets, targets))}`;
  });
  const { occupants } = setup;
  const there = extentOf(setup.enclosure);
  const withLength = days.map(({ on, targets }, place) => {
    const { lowMm, highMm } = lengthOn({ species: targets, animal, occupants, there, ruleSets, on }, on);
    return `${keys[place]} ${lowMm} ${highMm}`;
  });
  const firstOf = (all: readonly string[]) => all.map((one) => all.indexOf(one));
  const [others, space] = [firstOf(keys), firstOf(withLength)];
  return (need) => (need === 'space' ? space : others);
}

// Judging only ever asks which of two days comes first.
function datesIn({ enclosures, fittings, readings, answers }: Collection): Set<PlainDate> {
  const all = [
    ...enclosures.map((one) => one.boxSince),
    ...fittings.flatMap((one) => [one.fittedOn, one.movedOn, one.retiredOn, one.brokenOn]),
    ...readings.map((one) => one.takenOn),
    ...answers.map((one) => one.answeredOn),
  ];
  return new Set(all.filter((one) => one !== null));
}

// Targets of one animal come from one species and share what they have in common.
function areSame(a: Targets, b: Targets): boolean {
  const same = (one: unknown, other: unknown) =>
    one === other ||
    (Array.isArray(one) &&
      Array.isArray(other) &&
      one.length === other.length &&
      one.every((each, at) => each === other[at]));
  return (Object.keys(a) as (keyof Targets)[]).every((key) => same(a[key], b[key]));
}
