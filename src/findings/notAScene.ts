import { z } from 'zod';
import { noScenes, type NoScene } from '../domain/measurement.ts';
import { brightnessWeight } from './exposureOffset.ts';
import { commonPractice, finding } from './finding.ts';

/** What it is, and what can be done about it next time. */
const words: Readonly<Record<NoScene, { readonly is: string; readonly nextTime?: string }>> = {
  black: {
    is: 'The picture is black, so there is nothing to judge: a cap on the lens, or no light at all.',
    nextTime: 'Look at the live picture first: the cap is off, and something is in it.',
  },
  fade: { is: 'Every picture that was looked at is black or part of a fade, so its light was not judged.' },
  drawing: {
    is: 'The picture is made of a few flat colours, as titles, drawings, screens and colour bars are. Nobody exposed it, so its light was not judged.',
  },
  raster: {
    is: 'The file holds numbers without a transfer function, as those of a sensor of heat, of one band of light or of heights. They are no brightness, so it was not judged.',
  },
};

export const notAScene = finding({
  kind: 'not-a-scene',
  data: z.object({ noScene: z.enum(noScenes) }),
  topic: 'picture',
  title: 'not a scene',
  check: ({ recording, measurement }) => {
    const noScene = measurement?.noScene;
    return (
      noScene && { weight: brightnessWeight(recording, noScene === 'black' ? 'medium' : 'low'), noScene }
    );
  },
  sentence: ({ noScene }) => words[noScene].is,
  remedy: ({ noScene }) => ({ nextTime: words[noScene].nextTime }),
  meaning:
    'Exposure is a matter of scenes. A black picture, a fade, a title, a drawing, a screen or a map of numbers is as bright ' +
    'as somebody made it, and nothing is said of its brightness, highlights and shadows.',
  limit: {
    at: 'black: all but 0.1% of the picture within 3% of black; few flat colours: neighbouring places have exactly one colour in 60% of the picture, no exposure was recorded, and there are fewer colours than photographs have; numbers: one channel of 16 bits, or fractions, or beside a picture without ISO a quarter of a byte of camera data for each pixel',
    reason: 'a photograph has noise, and a camera that exposed it says so in the file; in doubt it is judged',
    source: `measured on some 500 photographs and 80 drawings and scans of open collections; the numbers: ${commonPractice}`,
  },
  example: { weight: 'low', noScene: 'drawing' },
});
