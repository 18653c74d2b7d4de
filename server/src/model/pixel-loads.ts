import type { LoadChannel, LoadModel } from '../electrics/circuit.ts';
import { isNull } from './null-pixels.ts';
import type { ChannelPart, Design, PixelPart, StringPiece } from './plan.ts';

/** What pixels draw at a look: the loads of the circuit. */

/** The part of its full light that a pixel gives at the design look: nothing dims a plain flood; a null pixel stays dark. */
export function brightnessOf({ part, line }: StringPiece, design: Design): number {
  if (part.kind === 'flood') return 1;
  return isNull(line) ? 0 : design.brightness.value;
}

type Look = Design['look']['value'];

/** What a pixel draws at a look, at full brightness: the same model for the same part, so that it is compiled once. */
export function loadModel(part: PixelPart, look: Look): LoadModel {
  let byLook = MODELS.get(part);
  if (byLook === undefined) {
    byLook = new Map();
    MODELS.set(part, byLook);
  }
  let model = byLook.get(look);
  if (model === undefined) {
    model = makeModel(part, look);
    byLook.set(look, model);
  }
  return model;
}

const MODELS = new WeakMap<PixelPart, Map<Look, LoadModel>>();

function makeModel(part: PixelPart, look: Look): LoadModel {
  const channels: LoadChannel[] = litChannels(part, look).map((channel) =>
    channel.kind === 'regulated'
      ? regulated(channel.amps, channel.knee, channel.dark)
      : { kind: 'resistive', ohms: channel.ohms, forwardVolts: channel.forward },
  );
  if (part.converter !== undefined) {
    const share = look === 'full-white' || part.kind === 'flood' ? 1 : 1 / 3;
    channels.push({ kind: 'converter', watts: part.converter.watts * share, lockoutVolts: part.converter.lockout });
  }
  return { quiescentAmps: part.idleAmps, quiescentVolts: 2, channels };
}

/** The colours that a look lights: the first channels of the load model, in the same order. */
export function litChannels(part: PixelPart, look: Look): readonly ChannelPart[] {
  return part.channels.filter(({ colour }) => look === 'full-white' || colour === look || colour === 'chain');
}

export function regulated(amps: number, kneeVolts: number, zeroVolts: number): LoadChannel {
  return { kind: 'regulated', amps, kneeVolts, zeroVolts };
}
