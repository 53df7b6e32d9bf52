#!/usr/bin/env node
import { setFlagsFromString } from 'node:v8';
// What one clip leaves behind is dropped before much of the next is read; by itself V8 waits for four times as much,
// and lets the space of what is new grow to tens of megabytes, how many depending on its version.
setFlagsFromString('--heap-growing-percent=50');
setFlagsFromString('--semi-space-growth-factor=1');
const { main } = await import('../dist/cli/main.js');
process.exitCode = await main(process.argv.slice(2));
