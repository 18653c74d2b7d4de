import { nothing } from '../ide/not-there.ts';

export const wrong = nothing;
