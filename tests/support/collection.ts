// A keeper's collection for page and scoring tests: sent through the real forms, with texts as a keeper types them.

import type { TestApp } from './app.ts';

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

/** Enters the enclosure 1 and the corn snake 1 in it. */
export async function enterSnake(
  app: TestApp,
  { enclosure = {}, animal = {} }: { enclosure?: Record<string, string>; animal?: Record<string, string> } = {},
): Promise<void> {
  await enter(app, '/enclosures/new', { ...enclosureTexts, ...enclosure });
  await enter(app, '/animals/new', { ...animalTexts, ...animal });
}
