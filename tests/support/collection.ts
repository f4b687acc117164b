// A keeper's collection for page and scoring tests: sent through the real forms, with texts as a keeper types them.

import { changeFitting, findFitting } from '../../server/db/collection.ts';
import type { Placement } from '../../src/collection.ts';
import { startApp, type TestApp } from './app.ts';

/** The texts of a good enclosure form; each may be replaced. */
export const enclosureTexts = {
  name: 'Top shelf',
  length: '90 cm',
  depth: '45',
  height: '45',
  material: 'glass',
  top: 'mesh',
  boxSince: '2025-06-01',
  notes: '',
};

/** The texts of a good animal form for the enclosure 1; each may be replaced. */
export const animalTexts = {
  name: 'Maize',
  species: 'corn-snake',
  enclosure: '1',
  length: '130 cm',
  measuredOn: '2026-01-05',
  hatchedOn: '',
  sex: 'female',
  coolingFrom: '',
  coolingTo: '',
  restFrom: '',
  restTo: '',
  notes: '',
};

/** The texts of a good reading form; each may be replaced. */
export const readingTexts = {
  evidence: 'measured',
  value: '30',
  takenOn: '2026-01-10',
  hour: '14',
  room: '20',
  instrument: 'probe',
  accuracy: '',
  notes: '',
};

/** Sends a form and throws, with the page's words, when it was not taken. */
export async function enter({ post }: TestApp, path: string, fields: Record<string, string>): Promise<void> {
  const answer = await post(path, fields);
  if (answer.status !== 303) throw new Error(`${path} answered ${answer.status}: ${answer.body}`);
}

/** What the forms of the snake and its box say otherwise. */
type Otherwise = { enclosure?: Record<string, string>; animal?: Record<string, string> };

/** Enters the enclosure 1 and the corn snake 1 in it. */
export async function enterSnake(app: TestApp, { enclosure = {}, animal = {} }: Otherwise = {}): Promise<void> {
  await enter(app, '/enclosures/new', { ...enclosureTexts, ...enclosure });
  await enter(app, '/animals/new', { ...animalTexts, ...animal });
}

/** An application on a ledger of the enclosure 1, the corn snake 1 in it and nothing else. */
export async function appWithSnake(otherwise: Otherwise = {}): Promise<TestApp> {
  const app = await startApp();
  await enterSnake(app, otherwise);
  return app;
}

/** Enters an instrument of the keeper's own that reads some kinds with a stated error, such as {'kind-water': 'yes', 'error-temperature': '1'}. */
export async function enterInstrument(app: TestApp, name: string, texts: Record<string, string>): Promise<void> {
  await enter(app, '/instruments/new', { name, standing: 'own', ...texts });
}

/** Puts a fitted thing somewhere in its box, mm; what is not said of its place is 0, of its size unknown. */
export function placeThing({ db }: TestApp, id: number, placed: Partial<Placement>): void {
  const { id: _, removedOn: _removed, version, ...row } = findFitting(db, id)!;
  const whole = { xMm: 0, yMm: 0, zMm: 0, lengthMm: null, depthMm: null, heightMm: null, turned: false, ...placed };
  if (changeFitting(db, id, version, { ...row, placed: whole }) !== 'saved')
    throw new Error(`${row.name} was not placed`);
}
