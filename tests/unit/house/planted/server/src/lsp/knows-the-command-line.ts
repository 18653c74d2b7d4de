import type { Render } from '../cli/render.ts';

export type Wrong = Render;
