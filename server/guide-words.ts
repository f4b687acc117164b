// The guide's chapters: how each is called in its address, over its text, and in one sentence, in the order in which they are read. What
// they say stands in views/guide.

/** A chapter: the end of its address, its heading, and what it tells in a sentence. */
export type Chapter = { topic: string; heading: string; lead: string };

/** A year with an invented collection, told in the order of the year. */
export const yearChapters = [
  {
    topic: 'first-evening',
    heading: 'The first evening',
    lead: 'Two animals, a tape measure and what can be seen from the armchair.',
  },
  {
    topic: 'first-readings',
    heading: 'First readings, with a borrowed meter',
    lead: 'What was only unknown becomes known, before any money is spent.',
  },
  {
    topic: 'first-roadmap',
    heading: 'The first roadmap',
    lead: 'Which month for which thing, and how to read the reasons.',
  },
  {
    topic: 'buying-and-saving',
    heading: 'What to buy and what to save for',
    lead: 'Free things first, whole kits, used boxes, and the sum that is not spent.',
  },
  {
    topic: 'a-thermostat',
    heading: 'Fitting a thermostat',
    lead: 'The right type, the probe in its place, and a day without the animal.',
  },
  {
    topic: 'a-uv-tube',
    heading: 'Fitting a UV tube',
    lead: 'Distance, mesh, guard, a dark end, and your own eyes.',
  },
  {
    topic: 'proof-by-meter',
    heading: 'Proof by meter',
    lead: 'A purchase has done nothing until the meter says so.',
  },
  {
    topic: 'closing-a-month',
    heading: 'Closing a month',
    lead: 'What was planned, what became of it, and why they differ.',
  },
  {
    topic: 'something-breaks',
    heading: 'Something breaks',
    lead: 'Today for the animal, tomorrow for the plan.',
  },
  {
    topic: 'a-renewal',
    heading: 'A renewal',
    lead: 'Lamps die slowly, and the plan sees it coming.',
  },
  {
    topic: 'a-newcomer',
    heading: 'A newcomer, refused with figures',
    lead: 'What a third animal would cost the two that are there.',
  },
  {
    topic: 'winter',
    heading: 'Winter',
    lead: 'Cold rooms, short days, power cuts, and who rests and who does not.',
  },
  {
    topic: 'the-vet',
    heading: 'A visit to the vet',
    lead: 'Signs of the animal stand before every score, and money goes there first.',
  },
] as const satisfies readonly Chapter[];

/** How the figures are made, for a reader who does not take them on trust. */
export const methodChapters = [
  {
    topic: 'scoring',
    heading: 'How the score is made',
    lead: 'The method with its formulae and sources, its limits, and which parts are choices.',
  },
  {
    topic: 'planning',
    heading: 'How a plan is made',
    lead: 'What is asked of a plan, how it is found, and what “proved best” means.',
  },
] as const satisfies readonly Chapter[];

/** The headings around the chapters. */
export const guideWords = {
  heading: 'Guide',
  lead: 'A year with two animals of an invented keeper, and how the figures are made.',
  year: 'A year with Ash and Bramble',
  method: 'For a reader who doubts',
  before: (heading: string) => `Before: ${heading}`,
  after: (heading: string) => `Next: ${heading}`,
} as const;
