// The few ways a request can fail that a person may be told about. Anything else that is thrown is a fault of the program.

/** What kind of failure: nothing there, changed meanwhile, not allowed, or a request that makes no sense. */
export type AppErrorCode = 'not_found' | 'conflict' | 'forbidden' | 'invalid';

/** A failure whose message is a whole sentence meant for the person at the page. */
export class AppError extends Error {
  readonly code: AppErrorCode;

  constructor(code: AppErrorCode, message: string) {
    super(message);
    this.name = 'AppError';
    this.code = code;
  }
}
