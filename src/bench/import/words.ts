/** Said of files that this program wrote: they were computed, so that nothing in them was clipped. */
export const COMPUTED = "written by this program";
