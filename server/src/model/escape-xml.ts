/** Text as it may stand in XML: without what XML 1.0 has no place for, controls, and marks that turn the direction of writing. */
export function escapeXml(text: string): string {
  const clean = text
    .replace(/[^\t\n\r\u0020-\u007e\u00a0-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, '')
    .replace(TURNING, '');
  return clean.replace(/[&<>"']/g, (mark) => `&#${mark.charCodeAt(0)};`);
}

const TURNING = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;
