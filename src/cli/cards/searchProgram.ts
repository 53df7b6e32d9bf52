import { searchCards, type CardPlaces } from './search.ts';

// Run by dumpOrCard.ts as a program of its own: who asks a volume that has gone waits inside the system and cannot be
// called back, not even to exit. This one is left behind then.
const places = JSON.parse(process.argv[2] ?? '') as CardPlaces;
await searchCards(places, (looked) => process.stdout.write(`${JSON.stringify(looked)}\n`));
