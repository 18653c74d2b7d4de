import { type CancellationToken, type Connection, ResponseError } from 'vscode-languageserver';
import { assertParams } from './params.ts';

/**
 * Keeps a fault of ours from ending the server: it is logged with what a person needs to reproduce it, the request is
 * answered with nothing, and the next one is served as usual.
 */
export class Guard {
  private readonly connection: Connection;

  constructor(connection: Connection) {
    this.connection = connection;
  }

  /** A handler of a request; errors that the protocol knows (cancelled, content modified) pass. */
  request<P, R>(method: string, fallback: R, body: (params: P, token: CancellationToken) => R | Promise<R>) {
    return async (params: P, token: CancellationToken): Promise<R> => {
      assertParams(method, params);
      try {
        return await body(params, token);
      } catch (error) {
        if (error instanceof ResponseError) throw error;
        this.log(error, `${method} ${JSON.stringify(params)}`);
        return fallback;
      }
    };
  }

  notification<P>(method: string, body: (params: P) => void) {
    return (params: P): void => {
      try {
        assertParams(method, params);
        body(params);
      } catch (error) {
        // Nobody waits for an answer: a notification that says nothing is left out.
        if (error instanceof ResponseError) this.connection.console.warn(error.message);
        else this.log(error, `${method} ${JSON.stringify(params)}`);
      }
    };
  }

  /** Logs an internal error and gives its short text. */
  log(error: unknown, where: string): string {
    const message = error instanceof Error ? error.message : String(error);
    const stack = error instanceof Error ? (error.stack ?? '') : '';
    this.connection.console.error(
      `internal error in ${where.slice(0, 2000)}\n${stack || message}\nPlease report it together with the plan.`,
    );
    return message;
  }
}
