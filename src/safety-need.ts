// How safety is judged: heaters that are not held or guarded, company that harms, light that harms, and the checks only a keeper can answer.

import type { Check, Fitting } from './collection.ts';
import { HEATERS, isGuarded } from './collection.ts';
import type { Judging, NeedPart, Reason } from './judging.ts';
import { activeFittings, BURNS, full, knownInSeason, nothing, PRACTICE, part } from './judging.ts';
import { isYoung } from './species.ts';
import { judgeLight } from './uv-need.ts';

/** Animals of one enclosure are alike enough while the shortest has at least this share of the longest (common practice, no source). */
const ALIKE_IN_SIZE = 0.5;

/** The parts of safety: one a fault, and the other checks together. */
export function judgeSafety(judging: Judging): NeedPart[] {
  const { targets, setup } = judging;
  const active = activeFittings(judging);
  const critical = { severe: true };
  const parts: NeedPart[] = [];
  const regulated = (heater: Fitting) => active.some((one) => one.kind === 'thermostat' && one.regulates === heater.id);
  const mayBeRegulated = (heater: Fitting) =>
    active.some((one) => one.kind === 'unknown-thermostat' && one.regulates === heater.id);
  const guarded = (heater: Fitting) => heater.outOfReach || isGuarded(heater, active);
  for (const one of active) {
    if (!HEATERS.has(one.kind)) continue;
    if (one.kind === 'unknown-heater') {
      parts.push(
        part({ low: 0, high: 100, best: 50 }, [{ why: 'heater-unknown', fitting: one.name }], BURNS, { unknown: true }),
      );
    } else if (one.kind === 'rock-heater')
      parts.push(part(nothing, [{ why: 'rock-heater', fitting: one.name }], BURNS, critical));
    else if (one.kind === 'basking-lamp') parts.push(...unmeasuredLamp(one));
    else if (one.kind !== 'water-heater' && !regulated(one) && mayBeRegulated(one)) {
      parts.push(
        part({ low: 0, high: 100, best: 50 }, [{ why: 'thermostat-unknown', fitting: one.name }], BURNS, {
          unknown: true,
        }),
      );
    } else if (one.kind !== 'water-heater' && !regulated(one)) {
      // A water heater carries its own thermostat as a rule (common practice, no source).
      parts.push(part(nothing, [{ why: 'heater-unregulated', fitting: one.name }], BURNS, critical));
    }
    const hot = one.kind === 'basking-lamp' || one.kind === 'ceramic-heater' || one.kind === 'radiant-panel';
    if (hot && !guarded(one))
      parts.push(part(nothing, [{ why: 'heater-unguarded', fitting: one.name }], BURNS, critical));
  }
  if (setup.occupants.length > targets.grouping.atMost) {
    const reason: Reason = { why: 'too-many-together', have: setup.occupants.length, atMost: targets.grouping.atMost };
    parts.push(part(nothing, [reason], targets.grouping, critical));
  }
  if (setup.occupants.some((one) => one.speciesId !== targets.id)) {
    parts.push(part(nothing, [{ why: 'mixed-species' }], targets.grouping, critical));
  }
  parts.push(...malesTogether(), ...sizesTogether());
  const answerTo = (check: Check) => setup.answers.find((one) => one.check === check)?.answer ?? 'unknown';
  for (const check of ['escape-proof', 'nothing-toxic'] as const) {
    const answer = answerTo(check);
    if (answer === 'no')
      parts.push(part(nothing, [{ why: 'check-failed', check, critical: true }], PRACTICE, critical));
    if (answer === 'unknown') {
      parts.push(
        part({ low: 0, high: 100, best: 50 }, [{ why: 'check-unknown', check, critical: true }], PRACTICE, {
          unknown: true,
        }),
      );
    }
  }
  return [...parts, ...harmfulLight(), otherChecks()];

  // Grown males of some species fight. Whose sex nobody knows is a question to answer, not a fault.
  function malesTogether(): NeedPart[] {
    const { atMostMales: atMost } = targets.grouping;
    if (atMost === null || setup.occupants.length < 2) return [];
    const grown = setup.occupants.filter((one) => one.speciesId === targets.id && !isYoung(one, targets));
    const males = grown.filter((one) => one.sex === 'male').length;
    const unknown = grown.filter((one) => one.sex === 'unknown').length;
    if (males > atMost)
      return [part(nothing, [{ why: 'too-many-males', have: males, atMost }], targets.grouping, critical)];
    if (males + unknown <= atMost) return [];
    const asked: Reason = { why: 'sexes-unknown', males, unknown, atMost };
    return [part({ low: 0, high: 100, best: 50 }, [asked], targets.grouping, { unknown: true })];
  }

  // Animals of one species that differ much in size bully, starve or eat one another.
  function sizesTogether(): NeedPart[] {
    const lengths = setup.occupants
      .filter((one) => one.speciesId === targets.id)
      .flatMap((one) => (one.lengthMm === null ? [] : [one.lengthMm]));
    const [shortestMm, longestMm] = [Math.min(...lengths), Math.max(...lengths)];
    return lengths.length < 2 || shortestMm >= longestMm * ALIKE_IN_SIZE
      ? []
      : [part(nothing, [{ why: 'sizes-too-unlike', shortestMm, longestMm }], PRACTICE, critical)];
  }

  // A fixed basking lamp needs no thermostat as long as the place under it has been measured.
  function unmeasuredLamp(lamp: Fitting): NeedPart[] {
    if (regulated(lamp) || targets.season !== 'active') return [];
    const known = knownInSeason(judging, 'hot-spot-surface');
    if (known.status === 'known') return [];
    const whole = { low: 0, high: 100, best: 50 };
    return [part(whole, [{ why: 'basking-unmeasured', fitting: lamp.name }], BURNS, { unknown: true })];
  }

  // Too much UV, or none of it to escape to, threatens the life of any species, also of one that needs none: far too much is a fault like
  // any other here, and what is above the ceiling holds safety down to its own worth.
  function harmfulLight(): NeedPart[] {
    return judgeLight(judging).flatMap((one) => {
      const harm = one.reasons.filter(({ why }) => why === 'uv-above' || why === 'uv-no-retreat');
      if (harm.length === 0) return [];
      return [one.severe ? part(nothing, harm, one.cited, critical) : part(one, harm, one.cited)];
    });
  }

  function otherChecks(): NeedPart {
    const wet = active.some((one) => ['water-dish', 'pool', 'mister', 'water-heater', 'filter'].includes(one.kind));
    // What lives in water alone has nowhere to climb out to.
    const mayDrown = targets.habit !== 'aquatic' || (targets.water?.features.includes('dry-dock') ?? false);
    const asked: Check[] = [
      ...(active.some((one) => one.kind === 'thermostat') ? (['probe-in-place'] as const) : []),
      ...(active.some((one) => one.watts !== null)
        ? (['dark-at-night', 'residual-current-device', 'smoke-alarm'] as const)
        : []),
      ...(wet && active.some((one) => one.watts !== null) ? (['drip-loop'] as const) : []),
      ...(wet && mayDrown ? (['easy-exit'] as const) : []),
    ];
    if (asked.length === 0) return part(full, [], null);
    const count = (answer: string) => asked.filter((check) => answerTo(check) === answer).length;
    const worth = (passed: number) => 60 + (40 * passed) / asked.length;
    const [low, high] = [worth(count('yes')), worth(count('yes') + count('unknown'))];
    const reasons = asked.flatMap((check): Reason[] => {
      const answer = answerTo(check);
      return answer === 'yes'
        ? []
        : [{ why: answer === 'no' ? 'check-failed' : 'check-unknown', check, critical: false }];
    });
    return part({ low, high, best: (low + high) / 2 }, reasons, PRACTICE);
  }
}
