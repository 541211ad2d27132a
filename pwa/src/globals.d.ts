/** The app's version, put in by the build. */
declare const __VERSION__: string;
