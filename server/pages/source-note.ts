// How the source of a figure stands beside it: what it is, where to read it, how well it is known.

import { type CareLibrary, type Cited, findSource } from '../../src/species.ts';
import { gradeWords, sourceLine, standingWords, surenessLine } from '../source-words.ts';

/** A source as views/partials/source-note.hbs draws it. */
export type SourceNote = { text: string; href: string | null; sureness: string; note: string | null };

/** The source of a figure; a rule of the ledger itself when it cites none. */
export function sourceNote(library: CareLibrary, cited: Cited | null): SourceNote {
  if (cited === null) {
    return { text: 'a rule of this ledger', href: null, sureness: standingWords['common-practice'], note: null };
  }
  const source = findSource(library, cited.source);
  const { standing } = source;
  // Where there is no source to name, its standing says everything; saying it twice hides the grade.
  const isNone = standing === 'from-memory' || standing === 'common-practice';
  return {
    text: isNone ? standingWords[standing] : sourceLine(source),
    href: source.address === '' ? null : source.address,
    sureness: isNone ? gradeWords[cited.grade] : surenessLine(cited, source),
    // A figure from memory says so twice in the library: in its standing and in its note.
    note: cited.note === undefined || /^check before relying on it\.?$/i.test(cited.note) ? null : cited.note,
  };
}
