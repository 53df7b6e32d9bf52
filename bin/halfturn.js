#!/usr/bin/env node
import { keepHeapSmall } from '../dist/programs/scripts.js';
keepHeapSmall();
const { main } = await import('../dist/cli/main.js');
process.exitCode = await main(process.argv.slice(2));
