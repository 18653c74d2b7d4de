/** The line break of a text: CR LF, LF or CR. A text with several kinds is taken for one of the first of these. */
export function newlineOf(text: string): string {
  return ['\r\n', '\n', '\r'].find((newline) => text.includes(newline)) ?? '\n';
}

/** What is put into a text, its lines ended as those of the text are. */
export function inNewlinesOf(text: string, put: string): string {
  return put.replace(/\r\n|\n|\r/g, newlineOf(text));
}
