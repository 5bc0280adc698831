// The module that the builder makes from the file of the language: builder/site/browser_words.py.

declare module "*/words/language.js" {
  export const LANGUAGE: {
    code: string;
    /** Where the language's pages lie below the site's root, ending in "/"; "" for the root itself. */
    folder: string;
    /** How numbers are written. */
    number: { digits: number; thousands: string; point: string; none: string; percent: string };
    /** What the digits of a number look like that takes each plural form. */
    plural: Record<string, string>;
    /** Texts by id; of what is counted, a text for each plural form. */
    messages: Record<string, string | ({ other: string } & Record<string, string>)>;
    /** Whether labels are written small within a sentence. */
    lowers_labels: boolean;
  };
}
