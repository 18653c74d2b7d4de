/** A file system that exists only in the editor: a plan on it can be read through the editor and in no other way. */
import {
  EventEmitter,
  type FileChangeEvent,
  type FileStat,
  FileSystemError,
  type FileSystemProvider,
  FileType,
  type Uri,
} from 'vscode';

export class MemoryFiles implements FileSystemProvider {
  private readonly changes = new EventEmitter<FileChangeEvent[]>();
  readonly onDidChangeFile = this.changes.event;
  private readonly files: Map<string, Uint8Array>;

  /** Files by path: texts, or bytes for what is no text. */
  constructor(files: Readonly<Record<string, string | Uint8Array>>) {
    const encoder = new TextEncoder();
    const bytesOf = (content: string | Uint8Array) => (typeof content === 'string' ? encoder.encode(content) : content);
    this.files = new Map(Object.entries(files).map(([path, content]) => [path, bytesOf(content)]));
  }

  watch(): { dispose: () => void } {
    return { dispose: () => {} };
  }

  stat(uri: Uri): FileStat {
    const bytes = this.readFile(uri);
    return { type: FileType.File, ctime: 0, mtime: 0, size: bytes.length };
  }

  readFile(uri: Uri): Uint8Array {
    const bytes = this.files.get(uri.path);
    if (bytes === undefined) throw FileSystemError.FileNotFound(uri);
    return bytes;
  }

  readDirectory(): [string, FileType][] {
    return [...this.files.keys()].map((path) => [path.slice(1), FileType.File]);
  }

  createDirectory(): void {
    throw FileSystemError.NoPermissions();
  }

  writeFile(): void {
    throw FileSystemError.NoPermissions();
  }

  delete(): void {
    throw FileSystemError.NoPermissions();
  }

  rename(): void {
    throw FileSystemError.NoPermissions();
  }
}
