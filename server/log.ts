// What may be written down of a fault: of what kind it was and where in the program it arose, never what the ledger holds or a keeper typed.
// A log is sent to others to ask for help, and is kept where the ledger's own protection does not reach.

/** A fault as it stands in the log. */
export type LoggedFault = { type: string; code: string | null; message: string; stack: string };

const LEFT_OUT = 'left out, since it may hold private text';

/**
 * What is kept of a fault. The messages of SQLite name tables and columns, those of the system files and addresses, and are kept; any other
 * may repeat what was typed, and is left out. Of the stack the places are kept, without the message that stands before them.
 */
export function loggedFault(fault: unknown): LoggedFault {
  if (!(fault instanceof Error)) return { type: typeof fault, code: null, message: LEFT_OUT, stack: '' };
  const { code, errno } = fault as NodeJS.ErrnoException;
  const isOfSystem = typeof errno === 'number' || (typeof code === 'string' && code.startsWith('SQLITE_'));
  return {
    type: fault.constructor.name,
    code: typeof code === 'string' ? code : null,
    message: isOfSystem ? fault.message : LEFT_OUT,
    stack: (fault.stack ?? '')
      .split('\n')
      .filter((line) => /^\s+at .*:\d+:\d+\)?$/.test(line))
      .join('\n'),
  };
}
