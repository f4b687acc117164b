// What mends a box that lacks something to hide in, climb, dig, swim or do, or that failed a check: the thing itself, home-made where that is
// as good, or what is done by hand.

import type { Answer, Check, FittingKind } from './collection.ts';
import type { Reason } from './judging.ts';
import { fitted, pieces } from './kits.ts';
import type { Part } from './parts.ts';
import type { Draft, ProposedAct, Remedy, Situation } from './remedies.ts';
import { cheapestOf, free, kit, ROOM, refuse } from './remedies.ts';
import type { HideZone, Need } from './species.ts';
import type { Change, NewFitting } from './upgrades.ts';
import { bareFitting } from './upgrades.ts';

/** A hide in a zone, home-made where cardboard lasts. */
export function addHide(at: Situation, need: Need, because: Reason, zone: HideZone): Remedy[] {
  const bought = (part: Part | undefined, kind: FittingKind) => single(at, need, because, zone, part, kind, zone);
  // Who hides among leaves (as the notes of its hides say) is not helped by a tube or a box.
  if (at.species.neverPropose.includes('solid-hide')) return bought(cheapestOf(at, 'plants'), 'plants');
  if (zone === 'moist') return bought(cheapestOf(at, 'moist-hide'), 'moist-hide');
  if (zone === 'high')
    return bought(
      cheapestOf(at, 'hide', (one) => one.id.includes('cork')),
      'hide',
    );
  if (zone === 'under-water') return bought(cheapestOf(at, 'plants'), 'plants');
  // Cardboard rots where it is kept damp; there only a bought hide will do.
  const { habit, group } = at.species;
  if (habit === 'aquatic' || habit === 'semi-aquatic' || group === 'frog' || group === 'salamander')
    return bought(cheapestOf(at, 'hide'), 'hide');
  // Nothing that burns is put where it is warmed.
  if (zone === 'warm') return bought(cheapestOf(at, 'hide'), 'hide');
  const fitting: NewFitting = { ...bareFitting('hide', 'Home-made hide'), place: zone };
  const act: ProposedAct = { act: 'home-made-hide', place: zone };
  return [free(need, because, act, zone, [{ change: 'fit', enclosureId: at.box, fitting }])];
}

/** Something to do, where the species needs it. */
export function enrich(at: Situation, need: Need, because: Reason & { why: 'enrichment-missing' }): Remedy[] {
  const homeMade = (kind: FittingKind, name: string): Change[] => [
    { change: 'fit', enclosureId: at.box, fitting: bareFitting(kind, name) },
  ];
  switch (because.kind) {
    case 'climb':
      return single(at, need, because, 'climb', cheapestOf(at, 'branches'), 'branches');
    case 'dig':
      return single(at, need, because, 'dig', cheapestOf(at, 'deep-substrate'), 'deep-substrate');
    case 'swim':
      return swimmingWater(at, need, because);
    case 'feeding': {
      if (at.species.neverPropose.includes('scattered-food')) {
        const varied = homeMade('feeding-toy', 'Prey offered at another place each time');
        return [free(need, because, { act: 'vary-prey' }, 'feeding', varied)];
      }
      const scattered = homeMade('feeding-toy', 'Food scattered and hidden');
      return [free(need, because, { act: 'scatter-food' }, 'feeding', scattered)];
    }
    case 'novelty': {
      if (at.species.neverPropose.includes('novelty')) return refuse(need, { why: 'species-forbids', what: 'novelty' });
      const swapped = homeMade('novelty', 'Objects swapped now and then');
      return [free(need, because, { act: 'swap-objects' }, 'novelty', swapped)];
    }
    case 'choice':
      return [];
  }
}

/** A feature of water, bought, or seen to where nothing has to be. */
export function addWater(at: Situation, need: Need, because: Reason, feature: string): Remedy[] {
  const bought = (kind: FittingKind) => single(at, need, because, kind, cheapestOf(at, kind), kind);
  switch (feature) {
    case 'easy-exit': {
      const answer: Change = { change: 'answer', enclosureId: at.box, check: 'easy-exit' };
      return [free(need, because, { act: 'do-check', check: 'easy-exit' }, feature, [answer])];
    }
    case 'bathing-dish':
      return bought('water-dish');
    case 'swimming-water':
      return swimmingWater(at, need, because);
    case 'filter':
    case 'dry-dock':
      return bought(feature);
    default:
      return [];
  }
}

// Who lives in the water swims in the tank itself; a basin in it is no swimming water.
function swimmingWater(at: Situation, need: Need, because: Reason): Remedy[] {
  return at.species.habit === 'aquatic' ? [] : single(at, need, because, 'pool', cheapestOf(at, 'pool'), 'pool');
}

// One thing of the list, fitted by itself; no answer where the list has none.
function single(
  at: Situation,
  need: Need,
  because: Reason,
  detail: string,
  part: Part | undefined,
  kind: FittingKind,
  place: HideZone | null = null,
): Remedy[] {
  if (part === undefined) return [];
  const placed = place === null ? {} : { place };
  return [kit(need, because, detail, pieces([part], [fitted(at.place, part, kind, placed)]), placed)];
}

/** What a failed check takes; nothing where it is merely not answered. */
export function seeToCheck(at: Situation, need: Need, because: Reason, check: Check): Remedy[] {
  const answer: Change = { change: 'answer', enclosureId: at.box, check };
  const bought: Partial<Record<Check, string>> = {
    'smoke-alarm': 'smoke-alarm',
    'residual-current-device': 'residual-current-device',
    'escape-proof': 'door-lock',
  };
  // What is merely not answered is a question for the keeper, not a purchase.
  if (because.why === 'check-unknown') return [];
  const part = bought[check] === undefined ? undefined : cheapestOf(at, bought[check]);
  if (check === 'smoke-alarm' && part !== undefined) return [alarmForTheRoom(at, need, because, part)];
  if (bought[check] !== undefined)
    return part === undefined ? [] : [kit(need, because, check, pieces([part], [answer]))];
  return [free(need, because, { act: 'do-check', check }, check, [answer])];
}

// One alarm serves the room, so it is proposed once and counts in every enclosure that lacks it.
function alarmForTheRoom(at: Situation, need: Need, because: Reason, part: Part): Draft {
  const lacking = at.world.collection.answers.filter(lacksAlarm);
  const changes = lacking.map(
    (one): Change => ({ change: 'answer', enclosureId: one.enclosureId, check: 'smoke-alarm' }),
  );
  return { ...kit(need, because, 'smoke-alarm', pieces([part], changes)), detail: `${ROOM}smoke-alarm` };
}

/** Whether an answer says that an enclosure's room has no smoke alarm. */
export function lacksAlarm({ check, answer }: Answer): boolean {
  return check === 'smoke-alarm' && answer === 'no';
}

/** A thing taken out, by its name. */
export function takeOut(at: Situation, need: Need, because: Reason, name: string): Remedy[] {
  const thing = at.active.find((one) => one.name === name);
  if (thing === undefined) return [];
  return [
    free(need, because, { act: 'take-out', fitting: name }, thing.id, [{ change: 'retire', fittingId: thing.id }]),
  ];
}
