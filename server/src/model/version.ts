/** Written in by the build from package.json. */
declare const FESTOON_VERSION: string | undefined;

/** The version of this Festoon; "unbuilt" when it runs from its sources. */
export const VERSION: string = typeof FESTOON_VERSION === 'string' ? FESTOON_VERSION : 'unbuilt';
