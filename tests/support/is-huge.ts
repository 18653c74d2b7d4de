/** Whether a plan has a string of so many digits of pixels: such plans are large only to be large, and take seconds each. */
export function isHuge(text: string, digits: 5 | 6): boolean {
  return new RegExp(`\\d{${digits}} px`).test(text);
}
