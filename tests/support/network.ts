// The ear's trained network, as the program ships it.
import { readFileSync } from 'node:fs';
import { readNetwork } from '../../app/core/ear/network/network.ts';

export const NETWORK = readNetwork(
  readFileSync(new URL('../../assets/ear/network.bin', import.meta.url)),
);
