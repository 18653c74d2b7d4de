import { readFileSync } from 'node:fs';

export const wrong = readFileSync;
