// The keeper's guide: a year with an invented collection, chapter by chapter, and how scores and plans are made. The texts are in
// views/guide; the figures they print are those of guide-figures.ts or are read from the program as it runs, never typed into a text.

import type { FastifyInstance } from 'fastify';
import { countCareFigures } from '../../src/care-figures.ts';
import { ESTIMATE_WIDTH, FRESH_DAYS, OLDEST_WIDTH, POINTS_A_DAY } from '../../src/evidence.ts';
import { SEVERE_BELOW } from '../../src/problem.ts';
import { capMean, DEFAULT_CHOICES } from '../../src/score.ts';
import { spaceValue } from '../../src/space.ts';
import { NEEDS } from '../../src/species.ts';
import { shareOfFigures } from '../about-words.ts';
import { type Chapter, guideWords, methodChapters, yearChapters } from '../guide-words.ts';
import { needNames } from '../kind-words.ts';
import type { Deps } from '../page.ts';
import { paths } from '../paths.ts';
import { gradeWords, standingWords } from '../source-words.ts';
import { guideFigures } from './guide-figures.ts';

/** What views/pages/guide.hbs shows. */
type ContentsPage = {
  heading: string;
  lead: string;
  parts: { heading: string; chapters: { href: string; heading: string; lead: string }[] }[];
};

/** What every chapter of views/guide is given. */
type ChapterPage = {
  heading: string;
  lead: string;
  before: Link | null;
  after: Link | null;
  /** Places of the ledger, by the name of the link in the text. */
  to: Readonly<Record<string, string>>;
  /** Figures of the invented year. */
  f: typeof guideFigures;
  method: MethodFigures;
};

type Link = { href: string; label: string };

/** What the chapters about the method print of the program's own numbers, with the defaults of a new ledger. */
type MethodFigures = {
  needs: { name: string; weight: string; allowance: string }[];
  space: { ratio: string; value: string }[];
  example: { mean: string; score: string };
  allowances: { critical: string; basic: string; quality: string };
  severeBelow: string;
  freshDays: string;
  pointsADay: string;
  oldestWidth: string;
  estimateWidth: string;
  species: string;
  figures: string;
  grades: { word: string; share: string }[];
  standings: { word: string; share: string }[];
};

const links: Readonly<Record<string, string>> = {
  home: paths.home,
  start: paths.start.show,
  animals: paths.animals.list,
  enclosures: paths.enclosures.list,
  instruments: paths.instruments.list,
  measuring: paths.measuring.show,
  weekend: paths.measuring.weekend,
  upgrades: paths.upgrades.list,
  roadmap: paths.roadmap.show,
  shopping: paths.shopping,
  thisMonth: paths.thisMonth,
  months: paths.months.list,
  progress: paths.progress,
  renewals: paths.renewals,
  rooms: paths.rooms.list,
  money: paths.money,
  cap: paths.cap.show,
  species: paths.species.list,
  valueChoices: paths.valueChoices.show,
  about: paths.about,
  export: paths.export.show,
  guide: paths.guide.show,
  scoring: paths.guide.chapter('scoring'),
  planning: paths.guide.chapter('planning'),
};

const chapters: readonly Chapter[] = [...yearChapters, ...methodChapters];

function contentsPage(): ContentsPage {
  const listed = (some: readonly Chapter[]) =>
    some.map(({ topic, heading, lead }) => ({ href: paths.guide.chapter(topic), heading, lead }));
  return {
    heading: guideWords.heading,
    lead: guideWords.lead,
    parts: [
      { heading: guideWords.year, chapters: listed(yearChapters) },
      { heading: guideWords.method, chapters: listed(methodChapters) },
    ],
  };
}

function chapterPage(chapter: Chapter, method: MethodFigures): ChapterPage {
  const place = chapters.indexOf(chapter);
  const [before, after] = [chapters[place - 1], chapters[place + 1]];
  return {
    heading: chapter.heading,
    lead: chapter.lead,
    before:
      before === undefined
        ? null
        : { href: paths.guide.chapter(before.topic), label: guideWords.before(before.heading) },
    after:
      after === undefined ? null : { href: paths.guide.chapter(after.topic), label: guideWords.after(after.heading) },
    to: links,
    f: guideFigures,
    method,
  };
}

export function guidePages(app: FastifyInstance, { library, render }: Deps): void {
  app.get(paths.guide.show, (_request, reply) => {
    const model = contentsPage();
    return render(reply, 'guide', model, { title: model.heading, current: 'guide' });
  });
  const back = { href: paths.guide.show, label: guideWords.heading };
  for (const chapter of chapters) {
    app.get(paths.guide.chapter(chapter.topic), (_request, reply) => {
      const model = chapterPage(chapter, methodFigures(library));
      return render(reply, `guide/${chapter.topic}`, model, { title: model.heading, current: 'guide', back });
    });
  }
}

function methodFigures(library: Deps['library']): MethodFigures {
  const counted = countCareFigures(library());
  const { weights, allowances } = DEFAULT_CHOICES;
  const values = { safety: 100, heat: 40, uv: 10, humidity: 80, space: 50, hides: 60, enrichment: 60 } as const;
  const example = capMean(
    (Object.keys(values) as (keyof typeof values)[]).map((need) => ({
      weight: weights[need],
      allowance: allowances[need],
      value: values[need],
    })),
  );
  return {
    needs: NEEDS.map((need) => ({
      name: needNames[need],
      weight: String(weights[need]),
      allowance: String(allowances[need]),
    })),
    space: [0.33, 0.66, 1, 1.5].map((ratio) => ({
      ratio: String(ratio),
      value: String(Math.round(spaceValue(ratio))),
    })),
    example: { mean: String(example.mean), score: String(example.score) },
    allowances: {
      critical: String(allowances.safety),
      basic: String(allowances.space),
      quality: String(allowances.enrichment),
    },
    severeBelow: String(SEVERE_BELOW),
    freshDays: String(FRESH_DAYS),
    pointsADay: String(POINTS_A_DAY),
    oldestWidth: String(OLDEST_WIDTH),
    estimateWidth: String(ESTIMATE_WIDTH),
    species: String(counted.species),
    figures: String(counted.figures),
    grades: Object.entries(counted.byGrade).map(([grade, count]) => ({
      word: gradeWords[grade as keyof typeof gradeWords],
      share: shareOfFigures(count, counted),
    })),
    standings: Object.entries(counted.byStanding).map(([standing, count]) => ({
      word: standingWords[standing as keyof typeof standingWords],
      share: shareOfFigures(count, counted),
    })),
  };
}
