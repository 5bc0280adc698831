"""The face model: how likely a mask is to fit a face that was never measured.

Each reading y = ln fit factor is a sum of

    intercept + style + mask + configuration + each changed part         what the mask does on anyone
    + each changed part × nose bridge                                    what it does more on a high bridge
    + protocol + instrument + size selection                             how it was measured
    + f(face) + f_style(face) + f_mask(face)                             smooth in face length, width and nose bridge
    + wearer + wearer × mask + wearer × configuration                    what is this person's own
    + re-donning + counting                                              what changes at every donning

Every term but the intercept is normal around 0 with a standard deviation of its own: a linear mixed model (Henderson,
Biometrics 1975;31:423–447) whose smooth terms are Gaussian processes. A part's effect is shared by all masks that
have it, so that a combination nobody tested can be predicted, with an interval that says how little is known.

A fit goes this way, a module a step:

    kernel      a face as about ten features, whose weighted sum is the smooth term (Karhunen–Loève; Rasmussen &
                Williams, Gaussian Processes for Machine Learning, 2006, §4.3; Solin & Särkkä, Stat. Comput. 2020;30)
    reference   the methods of measuring, and the one that chances are stated for
    design      the table as arrays: tests, arms (wearer × configuration × method), and one block of coefficients a mask
    scales      the standard deviations and their priors
    engine      the posterior at given scales, by eliminating mask after mask; exact linear algebra, no sampling
    evidence    posterior variances, and the slope of the restricted likelihood in the scales
    censored    "at least" readings by expectation propagation (Rasmussen & Williams 2006, ch. 3)
    estimate    the best scales, and draws around them when tests are few
    outlook     means and covariances over all configurations on one face, or on one wearer given their own tests
    predict     chances, intervals and the list to try first
    population  chances averaged over the panel's population, and tests wanted for the database
    next_test   which test to do next on one wearer
    own_results what a reader tells of masks on their own face, as likelihoods
    propagated_sites    these taken into a joint normal, one-sided ones by expectation propagation
    informed_outlook    the outlook given them, also of masks that the model does not have
    personal    the answers for such a reader
    model       `fit_face_model` and the tables it answers with
    condensed   the model in few numbers, for the browser
    own_check   what own results are worth on wearers left out
    scoring     predictions against what was measured
    validate    leave wearers out, refit, compare with simpler predictions

Not in the model: scatter that differs between masks, parts that act differently by wearer or style, and that people
choose what they test.
"""

from builder.fit.facemodel.kernel import FaceDescription
from builder.fit.facemodel.model import FaceModel, TooLittleDataError, fit_face_model
from builder.fit.facemodel.predict import Suggestion
from builder.fit.facemodel.scales import Scales
from builder.fit.facemodel.scoring import Score
from builder.fit.facemodel.validate import FirstThree, Validation, leave_wearers_out

__all__ = [
    "FaceDescription",
    "FaceModel",
    "FirstThree",
    "Scales",
    "Score",
    "Suggestion",
    "TooLittleDataError",
    "Validation",
    "fit_face_model",
    "leave_wearers_out",
]
