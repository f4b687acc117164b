// The tables as drizzle sees them: column names, and which columns hold JSON and of what type. The SQL in migrations/ is the truth; a
// test holds the two together.

import { integer, primaryKey, real, sqliteTable, text } from 'drizzle-orm/sqlite-core';
import type { ClockHours, PlainDate, PlainMonth } from '../../src/calendar.ts';
import type { FigureChange, FigureKey, FigureValue, Snapshot } from '../../src/care-overrides.ts';
import type {
  BoxBuild,
  Check,
  FittingKind,
  LampOutput,
  Material,
  Placement,
  ReadingKind,
  Top,
} from '../../src/collection.ts';
import type { AssumptionKind } from '../../src/first-facts.ts';
import type { Fate, FreedThing } from '../../src/hand-downs.ts';
import type { MeasuredKind, Ownership } from '../../src/instruments.ts';
import type { LedgerFacts } from '../../src/ledger-problem.ts';
import type { Money } from '../../src/money.ts';
import type { MonthRecord } from '../../src/month-review.ts';
import type { Priority } from '../../src/problem.ts';
import type { OutletRuleName } from '../../src/rooms.ts';
import type { Alarm, Ending, SignKind } from '../../src/signs.ts';
import type { DatedSeason, DatedState, Grade, HideZone, Need, RuleSet, Source, Species } from '../../src/species.ts';
import type { Degrees, Measures } from '../../src/units.ts';
import type { Change } from '../../src/upgrades.ts';

const date = (name: string) => text(name).$type<PlainDate>();
const month = (name: string) => text(name).$type<PlainMonth>();
const amount = (name: string) => integer(name).$type<Money>();
const flag = (name: string) => integer(name, { mode: 'boolean' });
const version = () => integer('version').notNull().default(1);
const removedOn = () => date('removed_on');

export const ledger = sqliteTable('ledger', {
  id: integer('id').primaryKey(),
  currency: text('currency').notNull(),
  locale: text('locale').notNull(),
  timeZone: text('time_zone').notNull(),
  unitSystem: text('unit_system').$type<Measures>().notNull(),
  ruleSets: text('rule_sets', { mode: 'json' }).$type<RuleSet[]>().notNull(),
  horizonMonths: integer('horizon_months').notNull(),
  creditMonths: integer('credit_months').notNull(),
  monthlySum: amount('monthly_sum'),
  coversFood: flag('covers_food').notNull(),
  coversVet: flag('covers_vet').notNull(),
  coversPower: flag('covers_power').notNull(),
  monthlyFood: amount('monthly_food'),
  monthlyVet: amount('monthly_vet'),
  pricePerKwh: real('price_per_kwh'),
  cashCounted: amount('cash_counted'),
  cashCountedOn: date('cash_counted_on'),
  sumArrived: flag('sum_arrived').notNull(),
  floorKept: amount('floor_kept').notNull(),
  isDemo: flag('is_demo').notNull(),
  version: version(),
  needWeights: text('need_weights', { mode: 'json' }).$type<Record<Need, number>>().notNull(),
  allowances: text('allowances', { mode: 'json' }).$type<Record<Need, number>>().notNull(),
  priority: text('priority', { mode: 'json' }).$type<Priority>().notNull(),
  changeThreshold: integer('change_threshold').notNull(),
  latitude: real('latitude'),
  degrees: text('degrees').$type<Degrees>().notNull().default('C'),
  clockHours: integer('clock_hours').$type<ClockHours>().notNull().default(24),
});

export const rooms = sqliteTable('rooms', {
  id: integer('id').primaryKey(),
  name: text('name').notNull(),
  coldestCelsius: real('coldest_celsius'),
  coldestMonth: integer('coldest_month'),
  coldestTyped: text('coldest_typed').notNull(),
  hottestCelsius: real('hottest_celsius'),
  hottestMonth: integer('hottest_month'),
  hottestTyped: text('hottest_typed').notNull(),
  notes: text('notes').notNull(),
  removedOn: removedOn(),
  version: version(),
});

export const outlets = sqliteTable('outlets', {
  id: integer('id').primaryKey(),
  name: text('name').notNull(),
  roomId: integer('room_id'),
  rule: text('rule').$type<OutletRuleName>().notNull(),
  volts: real('volts').notNull(),
  circuitAmps: real('circuit_amps').notNull(),
  plugAmps: real('plug_amps'),
  leadAmps: real('lead_amps'),
  notes: text('notes').notNull(),
  removedOn: removedOn(),
  version: version(),
});

export const instruments = sqliteTable('instruments', {
  id: integer('id').primaryKey(),
  name: text('name').notNull(),
  measures: text('measures', { mode: 'json' }).$type<MeasuredKind[]>().notNull(),
  standing: text('standing').$type<Ownership>().notNull(),
  borrowedFrom: date('borrowed_from'),
  borrowedUntil: date('borrowed_until'),
  notes: text('notes').notNull(),
  removedOn: removedOn(),
  version: version(),
});

export const predictions = sqliteTable('predictions', {
  id: integer('id').primaryKey(),
  upgradeId: integer('upgrade_id').notNull(),
  enclosureId: integer('enclosure_id').notNull(),
  kind: text('kind').$type<ReadingKind>().notNull(),
  predicted: real('predicted').notNull(),
  error: real('error').notNull(),
  madeOn: date('made_on').notNull(),
  readingId: integer('reading_id'),
  model: real('model'),
});

export const enclosures = sqliteTable('enclosures', {
  id: integer('id').primaryKey(),
  name: text('name').notNull(),
  lengthMm: real('length_mm').notNull(),
  depthMm: real('depth_mm').notNull(),
  heightMm: real('height_mm').notNull(),
  lengthTyped: text('length_typed').notNull(),
  depthTyped: text('depth_typed').notNull(),
  heightTyped: text('height_typed').notNull(),
  material: text('material').$type<Material>().notNull(),
  top: text('top').$type<Top>().notNull(),
  boxSince: date('box_since').notNull(),
  notes: text('notes').notNull(),
  removedOn: removedOn(),
  version: version(),
  build: text('build', { mode: 'json' }).$type<BoxBuild>().notNull(),
});

export const animals = sqliteTable('animals', {
  id: integer('id').primaryKey(),
  name: text('name').notNull(),
  speciesId: text('species_id').notNull(),
  enclosureId: integer('enclosure_id').references(() => enclosures.id),
  lengthMm: real('length_mm'),
  lengthTyped: text('length_typed').notNull(),
  measuredOn: date('measured_on'),
  hatchedOn: date('hatched_on'),
  sex: text('sex').$type<'female' | 'male' | 'unknown'>().notNull(),
  isPaleMorph: flag('is_pale_morph').notNull(),
  seasons: text('seasons', { mode: 'json' }).$type<DatedSeason[]>().notNull(),
  notes: text('notes').notNull(),
  removedOn: removedOn(),
  version: version(),
  vetCheckedOn: date('vet_checked_on'),
  states: text('states', { mode: 'json' }).$type<DatedState[]>().notNull(),
});

export const animalSigns = sqliteTable('animal_signs', {
  id: integer('id').primaryKey(),
  animalId: integer('animal_id').notNull(),
  kind: text('kind').$type<SignKind>().notNull(),
  notedOn: date('noted_on').notNull(),
  grams: real('grams'),
  gramsTyped: text('grams_typed').notNull(),
  alarm: text('alarm').$type<Alarm>(),
  isWorrying: flag('is_worrying').notNull(),
  notes: text('notes').notNull(),
  setAside: amount('set_aside'),
  setAsideMonth: month('set_aside_month'),
  settledOn: date('settled_on'),
  settledHow: text('settled_how').$type<Ending>(),
  paid: amount('paid'),
  removedOn: removedOn(),
  version: version(),
});

export const fittings = sqliteTable('fittings', {
  id: integer('id').primaryKey(),
  enclosureId: integer('enclosure_id').notNull(),
  kind: text('kind').$type<FittingKind>().notNull(),
  name: text('name').notNull(),
  fittedOn: date('fitted_on').notNull(),
  movedOn: date('moved_on'),
  retiredOn: date('retired_on'),
  lifeMonths: integer('life_months'),
  renewalPrice: amount('renewal_price'),
  watts: real('watts'),
  hoursPerDay: real('hours_per_day'),
  duty: real('duty'),
  place: text('place').$type<HideZone>(),
  regulatesId: integer('regulates_id'),
  guardsId: integer('guards_id'),
  isOutOfReach: flag('is_out_of_reach').notNull(),
  lamp: text('lamp', { mode: 'json' }).$type<LampOutput>(),
  distanceMm: real('distance_mm'),
  distanceTyped: text('distance_typed').notNull(),
  meshShare: real('mesh_share').notNull(),
  expects: text('expects', { mode: 'json' }).$type<{ reading: ReadingKind; value: number }[]>().notNull(),
  outdoors: text('outdoors', { mode: 'json' }).$type<{
    lengthMm: number;
    depthMm: number;
    fromMonth: number;
    toMonth: number;
    shade: boolean;
  }>(),
  whenBoxReplaced: text('when_box_replaced').$type<'moves' | 'stays-behind'>().notNull(),
  upgradeId: integer('upgrade_id'),
  removedOn: removedOn(),
  version: version(),
  brokenOn: date('broken_on'),
  placed: text('placed', { mode: 'json' }).$type<Placement>(),
  outletId: integer('outlet_id'),
  meshUnknown: flag('mesh_unknown').notNull(),
});

export const readings = sqliteTable('readings', {
  id: integer('id').primaryKey(),
  enclosureId: integer('enclosure_id').notNull(),
  kind: text('kind').$type<ReadingKind>().notNull(),
  evidence: text('evidence').$type<'measured' | 'estimated' | 'unknown'>().notNull(),
  value: real('value'),
  typed: text('typed').notNull(),
  takenOn: date('taken_on').notNull(),
  hour: integer('hour'),
  roomCelsius: real('room_celsius'),
  roomTyped: text('room_typed').notNull(),
  instrument: text('instrument').notNull(),
  accuracy: real('accuracy'),
  notes: text('notes').notNull(),
  removedOn: removedOn(),
  version: version(),
  lightRatio: real('light_ratio'),
});

export const answers = sqliteTable(
  'answers',
  {
    enclosureId: integer('enclosure_id').notNull(),
    check: text('check_name').$type<Check>().notNull(),
    answer: text('answer').$type<'yes' | 'no' | 'unknown'>().notNull(),
    answeredOn: date('answered_on').notNull(),
  },
  (table) => [primaryKey({ columns: [table.enclosureId, table.check] })],
);

export const upgrades = sqliteTable('upgrades', {
  id: integer('id').primaryKey(),
  name: text('name').notNull(),
  status: text('status').$type<'wanted' | 'refused' | 'ordered' | 'fitted'>().notNull(),
  origin: text('origin').$type<'proposed' | 'own'>().notNull(),
  proposalKey: text('proposal_key'),
  priceLow: amount('price_low').notNull(),
  priceHigh: amount('price_high').notNull(),
  monthlyCost: amount('monthly_cost').notNull(),
  lifeMonths: integer('life_months'),
  renewalPrice: amount('renewal_price'),
  leadMonths: integer('lead_months').notNull(),
  earliestMonth: month('earliest_month'),
  pinnedMonth: month('pinned_month'),
  requires: text('requires', { mode: 'json' }).$type<number[][]>().notNull(),
  groupName: text('group_name'),
  proceedsAmount: amount('proceeds_amount'),
  proceedsAfter: integer('proceeds_after'),
  changes: text('changes', { mode: 'json' }).$type<Change[]>().notNull(),
  notes: text('notes').notNull(),
  boughtOn: date('bought_on'),
  paid: amount('paid'),
  arrivesMonth: month('arrives_month'),
  fittedOn: date('fitted_on'),
  removedOn: removedOn(),
  version: version(),
  returnBy: date('return_by'),
  unaskedSince: date('unasked_since'),
});

export const oneOffSums = sqliteTable('one_off_sums', {
  id: integer('id').primaryKey(),
  month: month('month').notNull(),
  amount: amount('amount').notNull(),
  note: text('note').notNull(),
  canWait: flag('can_wait').notNull(),
  removedOn: removedOn(),
  version: version(),
});

export const oldThings = sqliteTable('old_things', {
  id: integer('id').primaryKey(),
  upgradeId: integer('upgrade_id'),
  fittingId: integer('fitting_id'),
  thing: text('thing').notNull(),
  facts: text('facts', { mode: 'json' }).$type<FreedThing>().notNull(),
  fate: text('fate').$type<Fate>().notNull(),
  toEnclosureId: integer('to_enclosure_id'),
  toUpgradeId: integer('to_upgrade_id'),
  sumId: integer('sum_id'),
  amount: amount('amount'),
  avoided: amount('avoided'),
  decidedOn: date('decided_on').notNull(),
  version: version(),
});

export const plans = sqliteTable('plans', {
  id: integer('id').primaryKey(),
  madeOn: date('made_on').notNull(),
  firstMonth: month('first_month').notNull(),
  problem: text('problem').notNull(),
  answer: text('answer').notNull(),
  roadmap: text('roadmap').notNull(),
  ledgerVersion: integer('ledger_version').notNull(),
  sinceLast: text('since_last'),
});

export const planStudies = sqliteTable(
  'plan_studies',
  {
    planId: integer('plan_id').notNull(),
    kind: text('kind').$type<'soonest' | 'objections' | 'measuring' | 'money' | 'robust' | 'choices'>().notNull(),
    content: text('content').notNull(),
  },
  (table) => [primaryKey({ columns: [table.planId, table.kind] })],
);

export const ledgerState = sqliteTable('ledger_state', {
  id: integer('id').primaryKey(),
  version: integer('version').notNull(),
  identity: text('identity').notNull(),
});

export const events = sqliteTable('events', {
  id: integer('id').primaryKey(),
  happenedOn: date('happened_on').notNull(),
  what: text('what')
    .$type<
      | 'bought'
      | 'not-bought'
      | 'corrected'
      | 'fitted'
      | 'plan-made'
      | 'cash-counted'
      | 'renewed'
      | 'broke'
      | 'works-after-all'
    >()
    .notNull(),
  upgradeId: integer('upgrade_id'),
  amount: amount('amount'),
  note: text('note').notNull(),
});

export const careOverrides = sqliteTable('care_overrides', {
  id: integer('id').primaryKey(),
  speciesId: text('species_id').notNull(),
  animalId: integer('animal_id'),
  figure: text('figure').$type<FigureKey>().notNull(),
  value: text('value', { mode: 'json' }).$type<FigureValue>().notNull(),
  typed: text('typed', { mode: 'json' }).$type<Record<string, string>>().notNull(),
  sourceTitle: text('source_title').notNull(),
  sourceYear: integer('source_year'),
  sourceAddress: text('source_address').notNull(),
  grade: text('grade').$type<Grade>().notNull(),
  note: text('note').notNull(),
  shipped: text('shipped', { mode: 'json' }).$type<FigureValue>(),
  removedOn: removedOn(),
  version: version(),
});

export const ownSpecies = sqliteTable('own_species', {
  id: integer('id').primaryKey(),
  speciesId: text('species_id').notNull(),
  species: text('species', { mode: 'json' }).$type<Species>().notNull(),
  sources: text('sources', { mode: 'json' }).$type<Source[]>().notNull(),
  removedOn: removedOn(),
  version: version(),
});

export const shippedFigures = sqliteTable('shipped_figures', {
  speciesId: text('species_id').primaryKey(),
  figures: text('figures', { mode: 'json' }).$type<Snapshot[string]>().notNull(),
});

export const careUpdates = sqliteTable('care_updates', {
  id: integer('id').primaryKey(),
  happenedOn: date('happened_on').notNull(),
  changes: text('changes', { mode: 'json' }).$type<FigureChange[]>().notNull(),
  moved: text('moved', { mode: 'json' })
    .$type<{ animalId: string; name: string; speciesId: string; before: number; after: number }[]>()
    .notNull(),
  readOn: date('read_on'),
});

export const capSettings = sqliteTable('cap_settings', {
  id: integer('id').primaryKey(),
  minutesAWeek: integer('minutes_a_week'),
  floorM2: real('floor_m2'),
  largestEmergency: amount('largest_emergency'),
  quarantinePlace: text('quarantine_place').$type<'yes' | 'no'>(),
  quarantineWeeks: integer('quarantine_weeks'),
  quarantineBox: amount('quarantine_box'),
  newcomerVet: amount('newcomer_vet'),
  cushionPercent: integer('cushion_percent').notNull(),
  clearMonths: integer('clear_months').notNull(),
  version: version(),
});

export const animalUpkeep = sqliteTable('animal_upkeep', {
  animalId: integer('animal_id').primaryKey(),
  minutesAWeek: integer('minutes_a_week'),
  food: amount('food'),
  substrate: amount('substrate'),
  vet: amount('vet'),
});

export const capQuestions = sqliteTable('cap_questions', {
  id: integer('id').primaryKey(),
  askedOn: date('asked_on').notNull(),
  firstMonth: month('first_month').notNull(),
  ledgerVersion: integer('ledger_version').notNull(),
  currency: text('currency').notNull(),
  question: text('question').notNull(),
  outcome: text('outcome').notNull(),
});

export const planFacts = sqliteTable('plan_facts', {
  planId: integer('plan_id').primaryKey(),
  facts: text('facts', { mode: 'json' }).$type<LedgerFacts>().notNull(),
});

export const closedMonths = sqliteTable('closed_months', {
  id: integer('id').primaryKey(),
  month: month('month').notNull(),
  closedOn: date('closed_on').notNull(),
  record: text('record', { mode: 'json' }).$type<MonthRecord>().notNull(),
});

export const monthCorrections = sqliteTable('month_corrections', {
  id: integer('id').primaryKey(),
  month: month('month').notNull(),
  enteredOn: date('entered_on').notNull(),
  amount: amount('amount'),
  note: text('note').notNull(),
  upgradeId: integer('upgrade_id'),
});

export const returnedPurchases = sqliteTable('returned_purchases', {
  id: integer('id').primaryKey(),
  upgradeId: integer('upgrade_id').notNull(),
  name: text('name').notNull(),
  boughtOn: date('bought_on').notNull(),
  paid: amount('paid').notNull(),
  returnedOn: date('returned_on').notNull(),
  refund: amount('refund').notNull(),
  why: text('why').$type<'failed' | 'returned'>().notNull(),
  wasFitted: flag('was_fitted').notNull(),
});

export const assumptions = sqliteTable('assumptions', {
  id: integer('id').primaryKey(),
  enclosureId: integer('enclosure_id'),
  animalId: integer('animal_id'),
  fittingId: integer('fitting_id'),
  what: text('what').$type<AssumptionKind>().notNull(),
  rowVersion: integer('row_version').notNull(),
  settledOn: date('settled_on'),
});

export const firstSteps = sqliteTable('first_steps', {
  id: integer('id').primaryKey(),
  putAwayOn: date('put_away_on'),
});
