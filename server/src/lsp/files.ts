import { type Connection, ErrorCodes, ResponseError } from 'vscode-languageserver';
import { uriOf } from './uri.ts';

/** Reads files of the local disk, for clients that cannot hand files over. */
export interface Disk {
  /** The text of a file inside one of some folders (addresses that end with a slash); undefined where there is none. */
  readonly read: (uri: string, folders: readonly string[]) => Promise<string | undefined>;
  /** The plan files of a folder, as addresses. */
  readonly list: (folder: string) => Promise<readonly string[]>;
}

/** A client that has not answered after this time is taken to have no such file. */
const PATIENCE_MS = 15_000;

/**
 * Files that are not open. The client is asked first, with requests of our own, since only it can reach virtual file
 * systems: `festoon/readFile` { uri } gives { text } or { error }, `festoon/findFiles` { } gives { uris }. A client that
 * does not know them is no hindrance: then files are read from the disk.
 */
export class Files {
  private readonly connection: Connection;
  private readonly disk: Disk | undefined;
  private clientReads = true;
  private clientFinds = true;

  constructor(connection: Connection, disk: Disk | undefined) {
    this.connection = connection;
    this.disk = disk;
  }

  /** The text of a file, or undefined where it cannot be read. Never rejects. */
  async read(key: string, folders: readonly string[]): Promise<string | undefined> {
    if (this.clientReads) {
      const answer = await this.ask<{ text?: unknown; error?: unknown }>('festoon/readFile', { uri: uriOf(key) });
      if (answer !== 'not-offered') return typeof answer?.text === 'string' ? answer.text : undefined;
      this.clientReads = false;
    }
    return this.disk?.read(key, folders).catch(() => undefined);
  }

  /** All plan files of some folders, as addresses. Never rejects. */
  async find(folders: readonly string[]): Promise<readonly string[]> {
    if (this.clientFinds) {
      const answer = await this.ask<{ uris?: unknown }>('festoon/findFiles', {});
      if (answer !== 'not-offered') {
        return Array.isArray(answer?.uris) ? answer.uris.filter((uri): uri is string => typeof uri === 'string') : [];
      }
      this.clientFinds = false;
    }
    const { disk } = this;
    if (disk === undefined) return [];
    const lists = await Promise.all(folders.map((folder) => disk.list(folder).catch(() => [])));
    return lists.flat();
  }

  private async ask<T>(method: string, params: object): Promise<T | undefined | 'not-offered'> {
    let timer: NodeJS.Timeout | undefined;
    const patience = new Promise<undefined>((resolve) => {
      timer = setTimeout(() => resolve(undefined), PATIENCE_MS);
    });
    try {
      return await Promise.race([this.connection.sendRequest<T>(method, params), patience]);
    } catch (error) {
      const unknown = error instanceof ResponseError && error.code === ErrorCodes.MethodNotFound;
      return unknown ? 'not-offered' : undefined;
    } finally {
      clearTimeout(timer);
    }
  }
}
